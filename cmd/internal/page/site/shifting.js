// Where the guide pulley can sit for each cog: which way to turn the adjuster.
import { el, picture, put, room, text, ticks } from './svg.js';

// shiftFigure draws a row for each cog, the smallest below, from the engine's answer.
export function shiftFigure(figure, d) {
  if (!d) { figure.replaceChildren(); return; }
  const rows = d.rooms, width = room(figure), left = 46, right = 14, top = 44, line = 26, base = top + rows.length * line, height = base + 44;
  const half = d.window.width_mm[1] / 2, set = d.setting.read ? d.setting.off_best_mm : 0;
  const ends = [-1, 1, set, ...rows.flatMap((r) => [...(r.from_mm || []), ...(r.to_mm || [])])];
  const lo = Math.min(...ends) - 0.2, hi = Math.max(...ends) + 0.2;
  const x = (v) => left + (v - lo) / (hi - lo) * (width - left - right);
  const svg = picture(width, height, 'Where the guide pulley can sit for each cog');
  if (half >= 0) svg.append(el('rect', { class: 'common', x: x(-half), y: top, width: x(half) - x(-half), height: base - top, fill: 'var(--c-pale)' }));
  rows.forEach((r, i) => {
    const y = base - (i + 0.5) * line, a = r.from_mm ? x(r.from_mm[1]) : left, b = r.to_mm ? x(r.to_mm[1]) : width - right;
    svg.append(text(left - 8, y + 4, `${r.cog_teeth}`, { 'text-anchor': 'end' }));
    if (a <= b) svg.append(el('line', { class: 'made', x1: a, x2: b, y1: y, y2: y, stroke: 'var(--c-mid)', 'stroke-width': 7 }));
    else svg.append(el('path', { class: 'apart', d: `M${a} ${y}h22m-7 -5l7 5l-7 5M${b} ${y}h-22m7 -5l-7 5l7 5`, fill: 'none', stroke: 'var(--bad)', 'stroke-width': 2.5 }));
    for (const [end, at] of [[r.from_mm, y - 7], [r.to_mm, y + 7]]) { // both may overlap: one above, one below
      if (end) svg.append(el('path', { class: 'doubt', d: `M${x(end[0])} ${at}H${x(end[2])}M${x(end[0])} ${at - 3}v6M${x(end[2])} ${at - 3}v6`, fill: 'none', stroke: 'var(--c-main)', 'stroke-width': 1.5 }));
    }
  });
  svg.append(el('line', { class: 'set', x1: x(set), x2: x(set), y1: top - 4, y2: base, stroke: 'var(--c-climb)', 'stroke-width': 2.5, 'stroke-dasharray': '7 4' }));
  svg.append(text(x(set), top - 9, d.setting.read ? 'as set' : 'set at its best', { 'text-anchor': 'middle' }));
  const knob = d.setting.clicks_to_turn !== null;
  svg.append(text(left, 15, knob ? '\u2190 turn the adjuster out' : '\u2190 trim it inboard'));
  svg.append(text(width - right, 15, knob ? 'turn it in \u2192' : 'trim it outboard \u2192', { 'text-anchor': 'end' }));
  svg.append(el('line', { x1: left, x2: width - right, y1: base, y2: base, stroke: 'var(--c-mid)' }));
  for (const v of ticks(lo, hi, 6)) {
    svg.append(el('line', { x1: x(v), x2: x(v), y1: base, y2: base + 5, stroke: 'var(--c-mid)' }));
    svg.append(text(x(v), base + 19, `${v}`.replace('-', '\u2212'), { 'text-anchor': 'middle' }));
  }
  svg.append(text(width - right, base + 37, width < 500 ? 'pulleys outboard of best, mm' : 'pulleys outboard of the best setting, mm', { 'text-anchor': 'end' }));
  svg.append(text(left, base + 37, width < 500 ? 'cog, teeth' : 'shifts to the cog, teeth', { 'text-anchor': 'start' }));
  put(figure, svg);
}
