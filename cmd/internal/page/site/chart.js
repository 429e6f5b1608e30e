// Bend against cog, with the limits of the wheels that the chain runs onto.

import { el, text, picture, put, room, ticks } from './svg.js';

const wheels = { ring: 'ring', cog: 'cog', tension_pulley: 'tension pulley', guide_pulley: 'guide pulley' };

export function chart(figure, doc, ringTeeth, direction, cogTeeth) {
  const gears = doc.gears.filter((g) => g.ring_teeth === ringTeeth);
  const width = room(figure), legend = width < 600 ? 3 : 1, top = 36 + 18 * legend, height = 286 + top, left = width < 600 ? 26 : 52, right = 8, bottom = 48;
  const svg = picture(width, height, `Bend of each gear on the ring of ${ringTeeth}, ${direction}, with limits`);
  const arrivals = gears.map((g) => g[direction]);
  let most = 4;
  for (const list of arrivals) for (const a of list) most = Math.max(most, a.bend_deg + 0.4);
  most = Math.min(most, 12);
  const step = (width - left - right) / gears.length;
  const x = (i) => left + (i + 0.5) * step;
  const y = (v) => height - bottom - Math.min(v, most) / most * (height - top - bottom);
  for (const v of ticks(0, most, 6)) {
    svg.append(el('line', { x1: left, x2: width - right, y1: y(v), y2: y(v), stroke: 'var(--c-pale)' }));
    svg.append(text(left - 8, y(v) + 4, `${v}`, { 'text-anchor': 'end' }));
  }
  svg.append(text(4, top - 8, 'bend, °'));
  svg.append(text((left + width - right) / 2, height - 8, 'cog, teeth', { 'text-anchor': 'middle' }));
  // One sort of mark for each wheel the chain runs onto.
  const parts = (arrivals.find((list) => list.length) || []).map((a) => a.at); // none where no chain goes round
  const half = Math.min(9, step / (2.6 * Math.max(1, parts.length)));
  gears.forEach((g, i) => {
    const on = g.cog_teeth === cogTeeth;
    if (on) svg.append(el('rect', { x: x(i) - step / 2, y: top, width: step, height: height - top - bottom, fill: 'var(--fill)' }));
    svg.append(text(x(i), height - bottom + 18, `${g.cog_teeth}`, { 'text-anchor': 'middle', 'font-weight': on ? 700 : 400 }));
    g[direction].forEach((a, k) => {
      const at = x(i) + (k - (parts.length - 1) / 2) * 2.4 * half;
      svg.append(el('rect', { x: at - half, y: y(a.bend_deg), width: 2 * half, height: height - bottom - y(a.bend_deg), fill: ['var(--c-main)', 'var(--c-mid)', 'var(--c-pale)'][k], stroke: 'var(--c-main)' }));
      for (const [limit, colour, dash] of [[a.quiet_limit_deg, 'var(--c-quiet)', '4 2'], [a.climb_limit_deg, 'var(--c-climb)', '']]) {
        if (limit <= most) svg.append(el('line', { x1: at - half - 2, x2: at + half + 2, y1: y(limit), y2: y(limit), stroke: colour, 'stroke-width': 3, 'stroke-dasharray': dash }));
      }
    });
  });
  let at = left, row = 0;
  const sample = (words, draw) => {
    const long = 34 + words.length * 6.8;
    if (at + long > width + 6) { at = left; row += 18; }
    const g = el('g', { transform: `translate(0 ${row})` }, draw(at), text(at + 24, 22, words));
    svg.append(g);
    at += long;
  };
  parts.forEach((p, k) => sample(`onto the ${wheels[p]}`, (sx) => el('rect', { x: sx, y: 11, width: 16, height: 12, fill: ['var(--c-main)', 'var(--c-mid)', 'var(--c-pale)'][k], stroke: 'var(--c-main)' })));
  sample('a tip touches', (sx) => el('line', { x1: sx, x2: sx + 18, y1: 17, y2: 17, stroke: 'var(--c-quiet)', 'stroke-width': 3, 'stroke-dasharray': '4 2' }));
  sample('may come off', (sx) => el('line', { x1: sx, x2: sx + 18, y1: 17, y2: 17, stroke: 'var(--c-climb)', 'stroke-width': 3 }));
  put(figure, svg);
}

// bars draws the line window: what front lines each constraint allows.
export function bars(figure, w) {
  if (!w) { figure.replaceChildren(); return; }
  const rows = w.constraints, width = room(figure), small = width < 600, left = small ? 128 : 190, right = 12, line = 26, height = rows.length * line + 70;
  const ends = rows.flatMap((r) => [r.from_mm, r.to_mm]).filter((v) => v !== null);
  const lo = Math.min(...ends, w.lines.front_mm, w.lines.rear_mm) - 4, hi = Math.max(...ends, w.lines.front_mm, w.lines.rear_mm) + 4;
  const x = (v) => left + (v - lo) / (hi - lo) * (width - left - right);
  const svg = picture(width, height, 'Line window: front lines that each constraint allows');
  if (w.safe.possible && w.safe.from_mm !== null && w.safe.to_mm !== null) {
    svg.append(el('rect', { x: x(w.safe.from_mm), y: 24, width: x(w.safe.to_mm) - x(w.safe.from_mm), height: rows.length * line, fill: 'var(--c-pale)' }));
  }
  rows.forEach((r, i) => {
    const y = 36 + i * line;
    svg.append(text(left - 10, y + 4, `${r.name.replace('_', ' ')}, ${r.direction}`, { 'text-anchor': 'end', 'font-size': small ? 11 : 13 }));
    const a = r.from_mm === null ? left : x(r.from_mm), b = r.to_mm === null ? width - right : x(r.to_mm);
    if (r.possible) {
      svg.append(el('line', { x1: a, x2: b, y1: y, y2: y, stroke: 'var(--c-main)', 'stroke-width': 7 }));
    } else if (r.from_mm !== null && r.to_mm !== null) {
      // Two gears exclude each other: from where on, and up to where.
      svg.append(el('path', { d: `M${x(r.from_mm)} ${y}h26m-8 -5l8 5l-8 5M${x(r.to_mm)} ${y}h-26m8 -5l-8 5l8 5`, fill: 'none', stroke: 'var(--bad)', 'stroke-width': 2.5 }));
    } else {
      svg.append(text(left + 6, y + 4, `none: ${r.from_gear}`, { fill: 'var(--bad)' }));
    }
  });
  const base = 30 + rows.length * line;
  for (const [v, words, colour, dash] of [[w.lines.front_mm, 'front line', 'var(--c-climb)', '7 4'], [w.lines.rear_mm, 'rear line', 'var(--c-quiet)', '2 3']]) {
    svg.append(el('line', { x1: x(v), x2: x(v), y1: 20, y2: base, stroke: colour, 'stroke-width': 2.5, 'stroke-dasharray': dash }));
  }
  svg.append(text(x(w.lines.front_mm), 14, 'front line', { 'text-anchor': w.lines.front_mm >= w.lines.rear_mm ? 'start' : 'end' }));
  svg.append(text(x(w.lines.rear_mm), 14, 'rear line', { 'text-anchor': w.lines.front_mm >= w.lines.rear_mm ? 'end' : 'start' }));
  for (const v of ticks(lo, hi, small ? 4 : 8)) {
    svg.append(el('line', { x1: x(v), x2: x(v), y1: base, y2: base + 5, stroke: 'var(--c-mid)' }));
    svg.append(text(x(v), base + 19, `${v}`, { 'text-anchor': 'middle' }));
  }
  svg.append(text(width - right, base + 36, "front line, mm from the frame's middle plane", { 'text-anchor': 'end' }));
  put(figure, svg);
}
