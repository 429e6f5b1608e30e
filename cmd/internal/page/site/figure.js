// The one figure: cogs and rings at their places across the bicycle, over each cog the bend of
// the top run, and how likely a fault is at it. The chainring is a handle.

import { el, text, picture, put, ticks } from './svg.js';
import { drawPrediction } from './predict.js';
import { chance, level, said, step, steps, way } from './hazards.js';

const shades = [null, 'var(--c-unlikely)', 'var(--c-unclear)', 'var(--c-likely)'];

// chanceAt reads a gear's chance at a bend from its curve.
export function chanceAt(curve, bend) {
  if (!curve.length) return 0;
  if (bend <= curve[0][0]) return curve[0][1];
  for (let i = 1; i < curve.length; i++) {
    const [a, p] = curve[i - 1], [b, q] = curve[i];
    if (bend <= b) return b > a ? p + (q - p) * (bend - a) / (b - a) : q;
  }
  return curve.at(-1)[1];
}

// worst is what a gear is marked by: of the fault that goes by the chain angle and the worst of the rest the one of the
// higher level, of one level the former.
const worst = (m) => (step(m.rest.chance) > step(m.by.chance) ? m.rest : m.by);

// bare is what a figure can show before the chances are there: the last curves, where the
// gears are the same ones.
export function bare(doc, shape, last) {
  const cogs = shape.cogs.map((c) => ({ teeth: c.teeth, line_mm: c.line, tip_radius_mm: c.tip }));
  const rings = shape.rings.map((r) => ({ teeth: r.teeth, line_mm: r.line }));
  const curves = new Map();
  for (const w of last?.ways || []) for (const m of w.marks) curves.set(`${w.direction} ${m.ring_teeth}/${m.cog_teeth}`, m.curve);
  const ways = ['riding', 'backwards'].map((d, i) => ({
    direction: d, name: last?.ways[i].name || d, note: '',
    marks: doc.gears.filter((g) => g.top.bend_deg !== null).map((g) => {
      const curve = curves.get(`${d} ${g.ring_teeth}/${g.cog_teeth}`) || [];
      const bend = d === 'riding' ? g.riding.find((a) => a.at === 'ring')?.bend_deg ?? g.top.bend_deg : g.top.bend_deg; // over an idler they differ
      const chance = chanceAt(curve, bend);
      return { ring_teeth: g.ring_teeth, cog_teeth: g.cog_teeth, top_mm: g.top.length_mm, bend_deg: bend, fits: true, chance, by: { mark: d === 'riding' ? 'noise' : 'back', words: '', chance }, rest: { mark: '', words: '', chance: 0 }, curve };
    }),
  }));
  return { words: '', second: '', glyphs: last?.glyphs || {}, rings, cogs, ways, from_mm: last?.from_mm ?? null, from_by: last?.from_by ?? '', to_mm: last?.to_mm ?? null, to_by: last?.to_by ?? '', quiet_limit_deg: last?.quiet_limit_deg || 0, climb_limit_deg: last?.climb_limit_deg || 0 };
}

function span(f, before) {
  const at = [...f.cogs, ...f.rings, ...(before?.rings || [])].map((c) => c.line_mm);
  let lo = Math.min(...at), hi = Math.max(...at);
  if (f.from_mm !== null && f.from_mm > lo - 10) lo = Math.min(lo, f.from_mm - 2);
  if (f.to_mm !== null && f.to_mm < hi + 10) hi = Math.max(hi, f.to_mm + 2);
  return [lo - 4, hi + 4];
}

// drawFigure draws it. o: show (riding, backwards, both), ring and cog chosen, before (a figure
// to compare with), big (letters for a class), stage (of a class: 0 no answers, 1 bends, 2 all).
// drawn is a line of what somebody expects. It returns the scale, for the handle.
export function drawFigure(figure, f, o) {
  const size = o.big ? 28 : 13, small = o.big ? 28 : 11.5, stage = o.stage ?? 2;
  const width = Math.max(300, figure.clientWidth || 760), narrow = width < 520;
  const ways = f.ways.filter((w) => o.show === 'both' || w.direction === o.show);
  const single = f.cogs.length === 1;
  const panel = o.big ? (ways.length > 1 ? 220 : 420) : ways.length > 1 ? (narrow ? 120 : 172) : single ? 150 : (narrow ? 180 : 300);
  const left = o.big ? 62 : 38, right = 10, head = size * (o.big ? 2.1 : 1.7), many = f.rings.length > 1 ? size + 6 : 0, strip = (o.big ? 262 : narrow ? 104 : 128) + many;
  const height = ways.length * (panel + head) + strip;
  const [lo, hi] = span(f, o.before);
  const x = (v) => left + (v - lo) / (hi - lo) * (width - left - right);
  let top = 3;
  for (const w of ways) for (const m of w.marks) top = Math.max(top, Math.ceil(m.bend_deg + 0.4));
  top = Math.min(9, Math.max(top, Math.ceil(f.quiet_limit_deg), Math.ceil(f.climb_limit_deg), o.drawn ? 6 : 0));
  let ground = 0;
  const ring = new Map(f.rings.map((r) => [r.teeth, r.line_mm])), cog = new Map(f.cogs.map((c, i) => [c.teeth, { ...c, i }]));
  const half = f.cogs.length < 2 ? 1.4 : 0.42 * Math.abs(f.cogs[0].line_mm - f.cogs.at(-1).line_mm) / (f.cogs.length - 1);
  const svg = picture(width, height, f.words || 'Cogs, chainring and the chain angle of the top run');
  svg.setAttribute('role', 'group'); // with a handle in it
  svg.append(el('desc', {}, `Across: millimetres from the frame centreline, seen from behind, outboard to the right. Up: chain angle of the top run in degrees. Shaded: chain angles at which a fault is ${level(1)}, ${level(2)}, ${level(3)}. The table below has the same numbers.`));

  ways.forEach((w, k) => {
    const base = (k + 1) * (panel + head) - 6, y = (v) => base - Math.min(v, top) / top * (panel - 8);
    ground ||= base;
    for (const v of ticks(0, top, top > 5 ? 4 : top)) {
      svg.append(el('line', { x1: left, x2: width - right, y1: y(v), y2: y(v), stroke: 'var(--c-pale)', 'stroke-width': 0.8 }));
      svg.append(text(left - 6, y(v) + size / 3, `${v}°`, { 'text-anchor': 'end', 'font-size': small }));
    }
    svg.append(text(4, base - panel - (o.big ? 18 : 2), way(w.direction), { 'font-size': size, 'font-weight': 600 }));
    if (stage > 1) for (const m of w.marks.filter((q) => q.fits)) {
      const c = cog.get(m.cog_teeth), n = f.rings.length, i = f.rings.findIndex((r) => r.teeth === m.ring_teeth);
      const a = x(c.line_mm - half + 2 * half * i / n), b = x(c.line_mm - half + 2 * half * (i + 1) / n);
      for (const [from, to, s] of bands(m.curve, top)) if (s) svg.append(el('rect', { x: a, y: y(to), width: b - a, height: y(from) - y(to), fill: shades[s] }));
    }
    for (const [limit, words, dash] of [[f.quiet_limit_deg, "shop's limit for noise", '2 3'], [f.climb_limit_deg, "shop's limit for drops", '8 3 2 3']]) {
      if (limit > 0 && limit < top) {
        svg.append(el('line', { x1: left, x2: width - right, y1: y(limit), y2: y(limit), stroke: 'var(--c-mid)', 'stroke-width': 1.4, 'stroke-dasharray': dash }));
        if (k === 0 && !o.big) freely(svg, words, y(limit), [left, width - right], w.marks.map((m) => [x(cog.get(m.cog_teeth).line_mm), y(m.bend_deg)]), small);
      }
    }
    for (const r of f.rings) svg.append(el('line', { class: 'foot', x1: x(r.line_mm), x2: x(r.line_mm), y1: base - panel + 8, y2: base + (k === ways.length - 1 ? strip - 40 : 6), stroke: 'var(--c-climb)', 'stroke-width': 1.8, 'stroke-dasharray': '7 4' }));
    const was = o.before?.ways.find((b) => b.direction === w.direction);
    if (was && (stage > 1 || o.drawn?.open)) {
      for (const r of o.before.rings) ghost(svg, was.marks.filter((m) => m.fits && m.ring_teeth === r.teeth), (m) => x(o.before.cogs.find((c) => c.teeth === m.cog_teeth).line_mm), y);
      if (stage > 1) for (const m of w.marks) { // from what it was to what it is
        const b = was.marks.find((q) => q.ring_teeth === m.ring_teeth && q.cog_teeth === m.cog_teeth);
        if (b && Math.abs(y(b.bend_deg) - y(m.bend_deg)) > 9) svg.append(el('line', { x1: x(cog.get(m.cog_teeth).line_mm), x2: x(cog.get(m.cog_teeth).line_mm), y1: y(b.bend_deg), y2: y(m.bend_deg), stroke: 'var(--c-quiet)', 'stroke-width': 2 }));
      }
    }
    if (stage > 0) for (const r of f.rings) {
      const d = w.marks.filter((m) => m.fits && m.ring_teeth === r.teeth).map((m, i) => `${i ? 'L' : 'M'}${x(cog.get(m.cog_teeth).line_mm).toFixed(1)} ${y(m.bend_deg).toFixed(1)}`).join('');
      svg.append(el('path', { d, fill: 'none', stroke: 'var(--paper)', 'stroke-width': 4 }), el('path', { d, fill: 'none', stroke: 'var(--c-main)', 'stroke-width': r.teeth === o.ring || f.rings.length === 1 ? 1.6 : 0.9 }));
    }
    if (stage > 0) for (const m of w.marks) mark(svg, x(cog.get(m.cog_teeth).line_mm), y(m.bend_deg), stage > 1 ? worst(m) : { chance: 0 }, f.glyphs, m.ring_teeth === o.ring && m.cog_teeth === o.cog, small, cog.get(m.cog_teeth).line_mm > ring.get(m.ring_teeth));
    if (o.drawn && k === 0) drawPrediction(svg, o.drawn, f.cogs, x, y);
  });
  clusterStrip(svg, f, o, { x, lo, hi, many, width, left, right, from: ways.length * (panel + head), strip, size, small, narrow });
  put(figure, svg);
  return { lo, hi, left, right, width, top, base: ground, panel: panel - 8 };
}

// bands cuts a curve into pieces of one step each: from, to, step.
function bands(curve, top) {
  const out = [];
  let from = 0, now = 0;
  const to = (at, s) => { if (s !== now) { if (at > from) out.push([from, Math.min(at, top), now]); from = at; now = s; } };
  for (let i = 1; i < curve.length; i++) {
    const [a, p] = curve[i - 1], [b, q] = curve[i];
    to(a, step(p));
    if (q > p) for (const s of steps()) if (p < s && q >= s) to(a + (b - a) * (s - p) / (q - p), step(s));
  }
  if (from < top) out.push([from, top, now]);
  return out.filter(([a, b]) => b > a && a < top);
}

function halo(x, y, words, attributes) {
  return el('text', { x, y, class: 'halo', ...attributes }, words);
}

// freely writes words on a level line where the marks are farthest away.
function freely(svg, words, y, [from, to], marks, size) {
  const long = words.length * size * 0.52;
  let best = from, most = -1;
  for (let at = from + 2; at + long < to; at += 12) {
    const room = Math.min(...marks.map(([mx, my]) => Math.hypot(Math.max(0, at - mx, mx - at - long), (my - y) * 1.5)), 60);
    if (room > most + 1) { most = room; best = at; }
  }
  svg.append(halo(best, y - 3, words, { 'font-size': size }));
}

function ghost(svg, marks, x, y) {
  const d = marks.map((m, i) => `${i ? 'L' : 'M'}${x(m).toFixed(1)} ${y(m.bend_deg).toFixed(1)}`).join('');
  svg.append(el('path', { d, class: 'ghost', fill: 'none', stroke: 'var(--c-mid)', 'stroke-width': 1.8, 'stroke-dasharray': '4 4' }));
}

// mark marks a gear by its worst fault: a small open dot where nothing is expected; else the fault's shape in a thin
// grey ring where it is unlikely, in a ring of the accent where it could go either way, on a disc of it where it is probable.
function mark(svg, x, y, m, glyphs, chosen, small, rightwards) {
  const s = step(m.chance), k = Math.min(1.9, small / 11.5);
  const at = el('g', { class: `mark step-${s}` });
  if (chosen) at.append(el('circle', { cx: x, cy: y, r: 12 * k, fill: 'none', stroke: 'var(--c-quiet)', 'stroke-width': 2.5 }));
  at.append(el('circle', { cx: x, cy: y, r: 9 * k, fill: 'var(--paper)' }), disc(x, y, s, k), glyph(glyphs[m.mark], x, y, s, k));
  if (s) at.append(el('title', {}, m.words));
  if (s) at.append(halo(x + (rightwards ? -11 : 11) * k, y - 7 * k, chance(m.chance), { 'text-anchor': rightwards ? 'end' : 'start', 'font-size': small }));
  svg.append(at);
}

function disc(x, y, s, k) {
  if (!s) return el('circle', { cx: x, cy: y, r: 4 * k, fill: 'var(--paper)', stroke: 'var(--c-main)', 'stroke-width': 1.6 * k });
  return el('circle', { cx: x, cy: y, r: (s === 2 ? 7 : 7.5) * k, fill: s === 3 ? 'var(--accent)' : 'var(--paper)', stroke: s === 1 ? 'var(--c-mid)' : 'var(--accent)', 'stroke-width': (s === 2 ? 2 : 1) * k });
}

function glyph(shape, x, y, s, k) {
  const ink = ['none', 'var(--soft)', 'var(--accent)', 'var(--paper)'][s];
  const d = (s && shape?.lines || []).map((l) => l.map(([a, b], i) => `${i ? 'L' : 'M'}${(x + a * 7 * k).toFixed(1)} ${(y + b * 7 * k).toFixed(1)}`).join('')).join('');
  return el('path', { d, fill: shape?.filled ? ink : 'none', stroke: ink, 'stroke-width': shape?.filled ? 0 : 1.7 * k, 'stroke-linejoin': 'round', 'stroke-linecap': 'round' });
}

// clusterStrip draws cogs from behind, where the ring cannot stand, its handle and the axis.
function clusterStrip(svg, f, o, g) {
  const most = Math.max(...f.cogs.map((c) => c.tip_radius_mm)), tall = (g.strip - g.many) * (o.big ? 0.25 : 0.34), names = g.from + tall + g.size * 1.25;
  for (const c of f.cogs) {
    const h = tall * c.tip_radius_mm / most, w = Math.max(3, Math.min(7, g.width / 130));
    svg.append(el('rect', { x: g.x(c.line_mm) - w / 2, y: g.from + tall - h, width: w, height: h, fill: 'var(--c-mid)' }));
    const words = halo(g.x(c.line_mm), names, `${c.teeth}`, { 'text-anchor': 'middle', 'font-size': g.narrow ? Math.min(g.size, 12) : g.size, 'font-weight': c.teeth === o.cog ? 700 : 400 });
    const pick = el('g', { class: 'pick', 'data-cog': c.teeth }, el('rect', { x: g.x(c.line_mm) - 12, y: g.from, width: 24, height: tall + g.size * 1.6, fill: 'transparent' }), words);
    svg.append(pick);
  }
  const floor = names + g.size * 2;
  svg.append(el('line', { x1: g.left, x2: g.width - g.right, y1: floor, y2: floor, stroke: 'var(--c-main)' }));
  const noRoom = (from, to, by, start) => {
    for (let at = from; at < to; at += 6) svg.append(el('line', { x1: at, x2: Math.min(at + 10, to), y1: floor - 6, y2: floor + 6, stroke: 'var(--c-mid)' }));
    const words = by.startsWith('for ') ? `${said('no_room')} ${by}` : `${said('no_room')}: ${by}`;
    svg.append(halo(start ? from : to, floor - 10, g.narrow ? said('no_room') : words, { 'text-anchor': start ? 'start' : 'end', 'font-size': g.small }));
  };
  if (f.from_mm !== null && g.x(f.from_mm) > g.left) noRoom(g.left, g.x(f.from_mm), f.from_by, true);
  if (f.to_mm !== null && g.x(f.to_mm) < g.width - g.right) noRoom(g.x(f.to_mm), g.width - g.right, f.to_by, false);
  for (const v of ticks(g.lo, g.hi, g.narrow ? 4 : 9)) {
    svg.append(el('line', { x1: g.x(v), x2: g.x(v), y1: floor, y2: floor + 5, stroke: 'var(--c-main)' }));
    svg.append(text(g.x(v), floor + 6 + g.small, `${v}`, { 'text-anchor': 'middle', 'font-size': g.small }));
  }
  svg.append(text(g.width - g.right, floor + 10 + 2.2 * g.small + g.many, g.narrow || o.big ? 'mm from the frame centreline, outboard right' : "mm from the frame centreline, seen from behind, outboard to the right", { 'text-anchor': 'end', 'font-size': g.small }));
  for (const r of o.before?.rings || []) svg.append(el('path', { d: `M${g.x(r.line_mm)} ${floor - 8}l8 8l-8 8l-8 -8z`, fill: 'none', stroke: 'var(--c-mid)', 'stroke-dasharray': '3 2' }));
  f.rings.forEach((r, i) => {
    const d = o.big ? 16 : 10;
    const last = i === f.rings.length - 1;
    const handle = el('g', {
      class: 'handle', role: 'slider', tabindex: last ? 0 : -1, id: last ? 'ring-handle' : '', 'aria-label': f.rings.length > 1 ? 'front chainline, all chainrings' : `front chainline, ${r.teeth}-tooth chainring`,
      'aria-valuemin': 20, 'aria-valuemax': 90, 'aria-valuenow': r.line_mm.toFixed(2), 'aria-valuetext': `chainring ${r.teeth} at ${r.line_mm.toFixed(1)} millimetres`,
    }, el('rect', { x: g.x(r.line_mm) - 22, y: floor - 22, width: 44, height: 44, fill: 'transparent' }),
    el('path', { d: `M${g.x(r.line_mm)} ${floor - d}l${d} ${d}l${-d} ${d}l${-d} ${-d}z`, fill: 'var(--c-climb)', stroke: 'var(--c-main)' }));
    svg.append(handle);
    if (g.many) {
      svg.append(halo(g.x(r.line_mm), floor + 12 + 1.9 * g.small, `${r.teeth}: ${r.line_mm.toFixed(1)}`, { 'text-anchor': 'middle', 'font-size': g.small, 'font-weight': 600 }));
    } else {
      const words = `chainring ${r.teeth}, ${r.line_mm.toFixed(1)}${g.narrow ? '' : ': drag it'}`;
      const rightwards = g.x(r.line_mm) + d + 8 + words.length * g.small * 0.58 < g.width;
      svg.append(halo(g.x(r.line_mm) + (rightwards ? d + 4 : -d - 4), floor - 10, words, { 'text-anchor': rightwards ? 'start' : 'end', 'font-size': g.small, 'font-weight': 600 }));
    }
  });
}

// wireHandle makes the ring draggable, by pointer and by keys; drag(by, done) takes how far
// it was moved since it was taken, mm.
export function wireHandle(figure, scale, drag, pick) {
  let from = null;
  figure.addEventListener('pointerdown', (e) => {
    const cog = e.target.closest?.('.pick');
    if (cog) { pick(Number(cog.dataset.cog)); return; }
    if (!e.target.closest?.('.handle')) return;
    from = e.clientX;
    figure.setPointerCapture(e.pointerId);
    figure.classList.add('dragging');
    e.preventDefault();
  });
  const by = (e) => { const s = scale(); return Math.round((e.clientX - from) * (s.hi - s.lo) / (s.width - s.left - s.right) * (s.width / figure.clientWidth) * 4) / 4; };
  figure.addEventListener('pointermove', (e) => { if (from !== null) drag(by(e), false); });
  const end = (e) => {
    if (from === null) return;
    const d = by(e);
    from = null;
    figure.classList.remove('dragging');
    drag(d, true);
  };
  figure.addEventListener('pointerup', end);
  figure.addEventListener('pointercancel', end);
  figure.addEventListener('keydown', (e) => {
    if (!e.target.closest?.('.handle')) return;
    const d = { ArrowLeft: -0.25, ArrowRight: 0.25, ArrowDown: -0.25, ArrowUp: 0.25, PageDown: -2, PageUp: 2 }[e.key];
    if (d) { drag(d, true); e.preventDefault(); }
  });
}

// figureTable fills a table with the figure's numbers, gears in rows.
export function figureTable(table, f) {
  const cell = (words, head, scope) => { const c = Object.assign(document.createElement(head ? 'th' : 'td'), { textContent: words }); if (scope) c.scope = scope; return c; };
  const row = (cells) => { const r = document.createElement('tr'); r.append(...cells); return r; };
  const head = document.createElement('thead'), body = document.createElement('tbody');
  head.append(row(['gear', 'cog at, mm', 'chain angle, °', way('riding'), 'chance', way('backwards'), 'chance'].map((w) => cell(w, true, 'col'))));
  const marked = (q) => { const v = q && worst(q); return [v?.words ? `${v.words}, ${level(step(v.chance))}` : v ? level(0) : '', v ? chance(v.chance) : ''].map((t) => cell(t)); };
  const back = f.ways[1]?.marks || [];
  f.ways[0].marks.forEach((m) => {
    const b = back.find((q) => q.ring_teeth === m.ring_teeth && q.cog_teeth === m.cog_teeth), c = f.cogs.find((q) => q.teeth === m.cog_teeth);
    body.append(row([cell(`${m.ring_teeth}/${m.cog_teeth}`, true, 'row'), cell(c.line_mm.toFixed(1)), cell(m.fits ? m.bend_deg.toFixed(2) : '–'), ...marked(m), ...marked(b)]));
  });
  table.replaceChildren(head, body);
}
