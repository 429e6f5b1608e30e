// What is written over the space: the chain angle as an arc, and the rooms, each with its number beside what it is of.

import { el, text } from './svg.js';

const mm = (v) => `${v.toFixed(2).replace('-', '−')} mm`;

// arrivalOf is where the chain runs onto ring or cog, and where it comes from, of a gear's shape.
export function arrivalOf(g, direction) {
  const k = direction === 'riding' ? g.wheels.findIndex((w) => w.part === 'ring') - 1 : 0, [x0, z0, x1, z1] = g.spans[k];
  const back = [x0, g.wheels[k].line, z0], front = [x1, g.wheels[k + 1].line, z1];
  return direction === 'riding' ? { at: front, from: back } : { at: back, from: front };
}

// notesOf are what is written: where, a number, what it is, and whether it is of trouble; on: at the place itself.
export function notesOf(o) {
  const { answer: a, gear: g, shape, entry, arrival, bad } = o, list = [];
  if (entry) list.push({ at: arcOf(arrival, entry.bend_deg).at(-1), big: `${entry.bend_deg.toFixed(2)}°`, small: 'chain angle', bad: bad.bend });
  const c = g.clearances, ring = a.wheels.find((w) => w.drives && w.part === 'ring'), cog = a.wheels.find((w) => w.drives && w.part === 'cog');
  if (c.tyre_mm !== null && a.tyre) {
    const run = shape.spans[0], f = Math.min(1, Math.max(0, (-c.tyre_at_mm - run[0]) / (run[2] - run[0]))), wheels = shape.wheels;
    list.push({ at: [run[0] + f * (run[2] - run[0]), wheels[0].line + f * (wheels[1].line - wheels[0].line), run[1] + f * (run[3] - run[1])], big: mm(c.tyre_mm), small: 'to tyre, less mud room', bad: bad.tyre });
  }
  if (c.ring_stay_mm !== null && a.stay) list.push({ at: [-ring.tip * 0.97, ring.at[1], -ring.tip * 0.25], big: mm(c.ring_stay_mm), small: 'to chainstay, less flex', bad: bad.stay });
  list.push({ at: ring.at, big: `${ring.teeth}`, small: '', on: true });
  list.push({ at: [cog.at[0] - cog.tip * 0.77, cog.at[1], cog.at[2] + cog.tip * 0.64], big: `${cog.teeth}`, small: '' });
  return list;
}

// arcOf is the chain angle's arc, from the wheel's plane to the run, about where the chain arrives.
function arcOf({ at, from }, degrees) {
  const d = [from[0] - at[0], from[2] - at[2]], long = Math.hypot(...d), reach = Math.min(0.6 * long, 240), side = Math.sign(from[1] - at[1]);
  return Array.from({ length: 13 }, (_, i) => {
    const a = degrees * i / 12 * Math.PI / 180, c = reach * Math.cos(a) / long;
    return [at[0] + c * d[0], at[1] + side * reach * Math.sin(a), at[2] + c * d[1]];
  });
}

const path = (look, points) => points.map((p, i) => { const [x, y] = look.project(p); return `${i ? 'L' : 'M'}${x.toFixed(1)} ${y.toFixed(1)}`; }).join('');

const measure = document.createElement('canvas').getContext('2d');
const wide = (words, size, weight) => { measure.font = `${weight} ${size}px ${getComputedStyle(document.body).fontFamily}`; return measure.measureText(words).width; };

// callouts draws all that into an SVG of the window's size; busy are places that words keep off.
export function callouts(svg, look, o, busy, width, height) {
  svg.setAttribute('viewBox', `0 0 ${width} ${height}`);
  const lines = el('g'), words = el('g'), taken = [];
  if (o.entry) {
    const arc = arcOf(o.arrival, o.entry.bend_deg), ink = o.bad.bend ? 'var(--accent)' : 'var(--ink)', at = look.project(o.arrival.at);
    for (let i = 0; i <= 20; i++) busy.push(look.project(o.arrival.at.map((v, k) => v + (arc[0][k] - v) * i / 20)));
    busy.push(...arc.map(look.project));
    lines.append(el('path', { d: `M${at.map((v) => v.toFixed(1)).join(' ')}${path(look, arc).replace('M', 'L')}z`, fill: ink, 'fill-opacity': 0.12 }));
    lines.append(el('path', { class: 'plane', d: path(look, [o.arrival.at, arc[0]]), stroke: ink, 'stroke-width': 1.4, 'stroke-dasharray': '6 4', fill: 'none' }));
    lines.append(el('path', { class: 'bend', d: path(look, arc), stroke: ink, 'stroke-width': o.bad.bend ? 3.2 : 2, fill: 'none' }));
  }
  axes(lines, words, look, height);
  taken.push([0, height - 84, 140, 84]);
  for (const n of notesOf(o).sort((a, b) => (b.on ? 1 : 0) - (a.on ? 1 : 0))) {
    const [x, y] = look.project(n.at);
    if (x < 0 || y < 0 || x > width || y > height) continue;
    const w = Math.max(wide(n.big, 15, 650), wide(n.small, 12, 400)) + 4, h = n.small ? 34 : 19, box = n.on ? [x - w / 2, y - h / 2, w, h] : freeBox(x, y, w, h, taken, busy, width, height);
    if (!box) continue;
    taken.push(box);
    if (!n.on) {
      const near = [Math.min(Math.max(x, box[0]), box[0] + w), Math.min(Math.max(y, box[1]), box[1] + h)];
      lines.append(el('path', { class: 'lead', d: `M${near[0]} ${near[1]}L${x} ${y}`, stroke: 'var(--soft)', 'stroke-width': 1 }), el('circle', { cx: x, cy: y, r: 2.2, fill: n.bad ? 'var(--accent)' : 'var(--ink)' }));
    }
    const note = el('g', { class: 'note' }, text(box[0] + 2, box[1] + 15, n.big, { class: n.bad ? 'halo trouble' : 'halo', 'font-size': 15, 'font-weight': 650 }));
    if (n.small) note.append(text(box[0] + 2, box[1] + 30, n.small, { class: 'halo', 'font-size': 12 }));
    words.append(note);
  }
  svg.replaceChildren(lines, words);
}

// axes says in a corner which way is which, of those that are not end on, the longest first; of two whose names would
// meet the longer is named.
function axes(lines, words, look, height) {
  const t = look.turn, at = [56, height - 46], named = [];
  const list = [[0, 'forward'], [3, 'outboard'], [6, 'up']].map(([i, name]) => ({ name, d: [t[i], -t[i + 1]], long: Math.hypot(t[i], t[i + 1]) }));
  for (const { name, d, long } of list.filter((a) => a.long > 0.3).sort((a, b) => b.long - a.long)) {
    const end = [at[0] + 26 * d[0], at[1] + 26 * d[1]], side = d[0] / long > 0.5 ? 'start' : d[0] / long < -0.5 ? 'end' : 'middle';
    const x = end[0] + (side === 'start' ? 4 : side === 'end' ? -4 : 0), y = end[1] + (side === 'middle' ? (d[1] > 0 ? 14 : -5) : 4);
    lines.append(el('path', { d: `M${at.join(' ')}L${end.join(' ')}`, stroke: 'var(--soft)', 'stroke-width': 1.4 }));
    if (named.some((n) => Math.abs(n[1] - y) < 13 && Math.abs(n[0] - x) < 56)) continue;
    named.push([x, y]);
    words.append(text(x, y, name, { class: 'halo', 'font-size': 12, 'text-anchor': side }));
  }
}

// freeBox finds room for words near a place: within the window, off other words, and over as little as can be.
function freeBox(x, y, w, h, taken, busy, width, height) {
  let best = null, least = Infinity;
  for (const far of [14, 30, 50, 75, 105, 140]) {
    for (let i = 0; i < 16; i++) {
      const a = i * Math.PI / 8 - Math.PI / 2, cx = x + Math.cos(a) * (far + w / 2), cy = y + Math.sin(a) * (far + h / 2), box = [cx - w / 2, cy - h / 2, w, h];
      if (box[0] < 2 || box[1] < 2 || box[0] + w > width - 2 || box[1] + h > height - 2) continue;
      if (taken.some((t) => box[0] < t[0] + t[2] + 6 && t[0] < box[0] + w + 6 && box[1] < t[1] + t[3] + 3 && t[1] < box[1] + h + 3)) continue;
      const over = busy.filter((p) => p[0] > box[0] - 3 && p[0] < box[0] + w + 3 && p[1] > box[1] - 3 && p[1] < box[1] + h + 3).length;
      const cost = far + 40 * over;
      if (cost < least) { least = cost; best = box; }
    }
  }
  return best;
}
