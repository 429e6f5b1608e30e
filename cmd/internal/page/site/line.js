// Along the front line: where there is room, where each fault stays below a level, and every gear at every place of the ring.

import { el, text, picture, put, room, ticks } from './svg.js';
import { chance, letter, level, said, step, way } from './hazards.js';

// held are what holds the chainring: a row for each room, which is dark alone, and for each fault, dark where its
// chance stays below a tenth in every gear and light where below a half; null: a half is never reached.
const held = (w) => {
  const rows = w.rooms.map((r) => ({ words: r.words, dark: r }));
  for (const t of w.thresholds) {
    if (t.below_chance === 0.1) rows.push({ words: t.words, dark: t, light: { from_mm: null, to_mm: null, possible: true } });
    if (t.below_chance === 0.5) rows.at(-1).light = t;
  }
  return rows;
};

// bars draws what front lines leave room, and at which ones faults are unlikely.
export function bars(figure, w) {
  if (!w) { figure.replaceChildren(); return; }
  const rows = held(w), width = room(figure), small = width < 600, left = small ? 128 : 210, right = 12, line = 26, height = rows.length * line + 70;
  const ends = rows.flatMap((r) => [r.dark, r.light]).flatMap((r) => [r?.from_mm, r?.to_mm]).filter((v) => v != null);
  const lo = Math.min(...ends, w.lines.front_mm, w.lines.rear_mm) - 4, hi = Math.max(...ends, w.lines.front_mm, w.lines.rear_mm) + 4;
  const x = (v) => left + (v - lo) / (hi - lo) * (width - left - right);
  const svg = picture(width, height, 'Where the chainring has room, and where each fault stays below 10 and 50 %');
  rows.forEach((r, i) => {
    const y = 36 + i * line, outer = r.light || r.dark;
    svg.append(text(left - 10, y + 4, r.words, { 'text-anchor': 'end', 'font-size': small ? 11 : 13 }));
    for (const [s, colour, wide] of [[r.light, 'var(--c-pale)', 12], [r.dark, 'var(--c-main)', 7]]) {
      if (s?.possible) svg.append(el('line', { x1: s.from_mm === null ? left : x(s.from_mm), x2: s.to_mm === null ? width - right : x(s.to_mm), y1: y, y2: y, stroke: colour, 'stroke-width': wide }));
    }
    if (!outer.possible) svg.append(text(left + 6, y + 4, `nowhere: ${outer.from_gear}`, { fill: 'var(--bad)' }));
  });
  const base = 30 + rows.length * line;
  for (const [v, words, colour, dash] of [[w.lines.front_mm, 'front chainline', 'var(--c-climb)', '7 4'], [w.lines.rear_mm, 'rear chainline', 'var(--c-quiet)', '2 3']]) {
    svg.append(el('line', { x1: x(v), x2: x(v), y1: 20, y2: base, stroke: colour, 'stroke-width': 2.5, 'stroke-dasharray': dash }));
  }
  svg.append(text(x(w.lines.front_mm), 14, 'front chainline', { 'text-anchor': w.lines.front_mm >= w.lines.rear_mm ? 'start' : 'end' }));
  svg.append(text(x(w.lines.rear_mm), 14, 'rear chainline', { 'text-anchor': w.lines.front_mm >= w.lines.rear_mm ? 'end' : 'start' }));
  for (const v of ticks(lo, hi, small ? 4 : 8)) {
    svg.append(el('line', { x1: x(v), x2: x(v), y1: base, y2: base + 5, stroke: 'var(--c-mid)' }));
    svg.append(text(x(v), base + 19, `${v}`, { 'text-anchor': 'middle' }));
  }
  svg.append(text(width - right, base + 36, "front chainline, mm from the frame centreline", { 'text-anchor': 'end' }));
  put(figure, svg);
}

const cell = (words, head, scope) => { const c = Object.assign(document.createElement(head ? 'th' : 'td'), { textContent: words }); if (scope) c.scope = scope; return c; };
const rowOf = (cells) => { const r = document.createElement('tr'); r.append(...cells); return r; };
const filled = (table, head, rows) => {
  const top = document.createElement('thead'), body = document.createElement('tbody');
  top.append(rowOf(head.map((w) => cell(w, true, 'col'))));
  body.append(...rows.map((r) => rowOf(r.map((w, i) => cell(w, i === 0, i === 0 ? 'row' : '')))));
  table.replaceChildren(top, body);
};

// barTable and mapTable are the numbers behind the two figures.
export function barTable(table, w) {
  const mm = (v) => (v === null ? 'open' : v.toFixed(2));
  const row = (words, r) => [words, r.possible ? mm(r.from_mm) : 'nowhere', r.from_gear, r.possible ? mm(r.to_mm) : 'nowhere', r.to_gear];
  filled(table, ['what', 'from, mm', 'set by', 'to, mm', 'set by'], w ? [...w.rooms.map((r) => row(r.words, r)), ...w.thresholds.map((t) => row(`${t.words} below ${Math.round(100 * t.below_chance)} %`, t))] : []);
}

export function mapTable(table, w) {
  const lines = [...new Set((w?.map || []).map((c) => c.front_line_mm))], gears = [...new Set((w?.map || []).map((c) => `${c.ring_teeth}/${c.cog_teeth}`))];
  filled(table, ['gear', ...lines.map((v) => v.toFixed(1))], gears.map((g) => [g, ...w.map.filter((c) => `${c.ring_teeth}/${c.cog_teeth}` === g).map((c) => (c.concern ? `${letter(c.concern)} ${chance(c.chance)}` : '–'))]));
}

// lineMap draws every gear against the place of the ring: the shade is the chance of what is
// worst there, and a letter says what.
export function lineMap(figure, w) {
  if (!w?.map?.length) { figure.replaceChildren(); return; }
  const lines = [...new Set(w.map.map((c) => c.front_line_mm))], gears = [...new Set(w.map.map((c) => `${c.ring_teeth}/${c.cog_teeth}`))];
  const width = room(figure), left = 52, right = 10, row = 20, top = 64, height = top + gears.length * row + 44;
  const edges = lines.map((v, i) => (i ? (v + lines[i - 1]) / 2 : v - (lines[1] - v) / 2));
  edges.push(lines.at(-1) + (lines.at(-1) - lines.at(-2)) / 2);
  const x = (v) => left + (v - edges[0]) / (edges.at(-1) - edges[0]) * (width - left - right);
  const svg = picture(width, height, 'Worst fault in each gear as the chainring moves');
  const shade = (p) => [null, ['var(--c-pale)', ''], ['var(--c-mid)', 'over'], ['var(--c-main)', 'over']][step(p)];
  const today = w.lines.front_mm, walls = [w.along.from_mm, w.along.to_mm];
  for (const c of w.map) {
    const i = lines.indexOf(c.front_line_mm), g = gears.indexOf(`${c.ring_teeth}/${c.cog_teeth}`), s = shade(c.chance);
    if (!s) continue;
    const a = x(edges[i]), b = x(edges[i + 1]), y = top + g * row;
    svg.append(el('rect', { x: a, y, width: b - a, height: row, fill: s[0] }));
    const noRoom = (walls[0] !== null && edges[i] < walls[0]) || (walls[1] !== null && edges[i + 1] > walls[1]);
    const marked = noRoom || [today, w.along.best_mm, ...walls].some((v) => v !== null && v >= edges[i] && v <= edges[i + 1]);
    if (b - a > 9 && !marked) svg.append(text((a + b) / 2, y + row / 2 + 4, letter(c.concern), { 'text-anchor': 'middle', 'font-size': 11, class: s[1] }));
  }
  gears.forEach((g, i) => svg.append(text(left - 6, top + i * row + row / 2 + 4, g, { 'text-anchor': 'end', 'font-size': 12 })));
  const bottom = top + gears.length * row;
  for (const [from, to] of [[edges[0], walls[0]], [walls[1], edges.at(-1)]]) { // no room
    if (from === null || to === null || to <= edges[0] || from >= edges.at(-1)) continue;
    for (let at = x(Math.max(from, edges[0])); at < x(Math.min(to, edges.at(-1))) - 4; at += 8) {
      svg.append(el('line', { x1: at, y1: bottom, x2: at + 5, y2: top, stroke: 'var(--c-mid)', 'stroke-width': 1 }));
    }
  }
  for (const [v, colour, dash] of [[today, 'var(--c-climb)', '7 4'], [w.along.best_mm, 'var(--c-quiet)', '']]) {
    if (v !== null && v >= edges[0] && v <= edges.at(-1)) svg.append(el('line', { x1: x(v), x2: x(v), y1: top - 6, y2: bottom, stroke: colour, 'stroke-width': 2.5, 'stroke-dasharray': dash }));
  }
  for (const v of ticks(edges[0], edges.at(-1), width < 600 ? 4 : 9)) {
    svg.append(el('line', { x1: x(v), x2: x(v), y1: bottom, y2: bottom + 5, stroke: 'var(--c-mid)' }));
    svg.append(text(x(v), bottom + 18, `${v}`, { 'text-anchor': 'middle', 'font-size': 12 }));
  }
  svg.append(text(width - right, bottom + 36, "front chainline, mm from the frame centreline", { 'text-anchor': 'end' }));
  let at = left, y = 18;
  const sample = (words, draw) => {
    const long = 30 + words.length * 6.8;
    if (at + long > width) { at = left; y += 20; }
    svg.append(draw(at, y), text(at + 24, y + 4, words, { 'font-size': 12 }));
    at += long;
  };
  const box = (fill) => (sx, sy) => el('rect', { x: sx, y: sy - 6, width: 18, height: 12, fill });
  const dashed = (colour, dash) => (sx, sy) => el('line', { x1: sx, x2: sx + 20, y1: sy, y2: sy, stroke: colour, 'stroke-width': 2.5, 'stroke-dasharray': dash });
  sample(level(1), box('var(--c-pale)'));
  sample(level(2), box('var(--c-mid)'));
  sample(level(3), box('var(--c-main)'));
  sample(said('today'), dashed('var(--c-climb)', '7 4'));
  sample(said('best'), dashed('var(--c-quiet)', ''));
  sample(`hatched: ${said('no_room')}`, (sx) => el('g', {}));
  put(figure, svg);
}
