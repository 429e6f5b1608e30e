// A chain that came off a cog, on its way to rest: beside the wheels, and from above link by link.

import { el, text } from './svg.js';

const lit = 'var(--c-climb)', shown = 6; // cogs

// sizes are those of the drawing in a figure of a width: beside each other where there is room for both.
function sizes(width) {
  const wide = width >= 620, side = wide ? Math.min(width * 0.5, 420) : Math.min(width, 420);
  return { wide, side, above: wide ? width - side - 10 : width, height: wide ? side + 96 : side + 96 + 260 };
}

export const fallHeight = (width) => sizes(width).height;

// drawFall draws a moment of a fall into a picture, with the two links' numbers under it.
export function drawFall(svg, film, frame, width) {
  const s = sizes(width), f = film.fall;
  const beside = el('g', { transform: 'translate(0 40)' }), above = el('g', { transform: s.wide ? `translate(${s.side + 10} 40)` : `translate(0 ${s.side + 44})` });
  drawBeside(beside, film, frame, s.side);
  const sideways = drawAbove(above, film, frame, s.above, s.wide ? s.side : 240);
  svg.append(beside, above);
  const since = frame.angle_deg - f.from_deg, last = f.marks.filter((m) => m.angle_deg <= frame.angle_deg + 0.01).at(-1);
  svg.append(text(10, 16, `${since.toFixed(0)}° after the first touch${last ? `: ${last.words}` : ''}`, { 'font-size': 12.5 }));
  svg.append(text(10, 32, `beside the wheels, to scale; from above, travel to the right, outboard up, sideways ${sideways.toFixed(1)} times larger`, { 'font-size': 11 }));
  f.follow.forEach((n, i) => {
    const l = frame.links.find((x) => x.n === n);
    svg.append(text(10, s.height - 36 + 17 * i, l ? told(f, l) : `link ${n}: out of the picture`, { 'font-size': 12.5, class: 'told' }));
  });
}

// told reads a link's numbers out.
function told(f, l) {
  const cog = f.cogs[Math.min(l.c, f.cogs.length - 1)].teeth, past = f.cogs[l.c - 1]?.teeth;
  const does = { air: past ? `past the ${past}` : 'in the air', seated: `over a tooth of the ${cog}`, strikes: `on its way over the ${cog}`, tip: `on a tip of the ${cog}`, over: `past the ${past}` }[l.s];
  return `link ${l.n}: ${l.h.toFixed(1)} mm high, ${l.y.toFixed(1)} mm outboard, lean ${l.lean.toFixed(0)}°, ${l.f.toFixed(1)} N, ${does}`;
}

function drawBeside(g, film, frame, size) {
  const f = film.fall, r = f.cogs[0].tip_mm + 14, k = size / (2 * r), x = (v) => size / 2 - v * k, y = (v) => size / 2 - v * k; // travel to the right
  f.cogs.slice(0, shown).forEach((c, i) => {
    g.append(el('circle', { cx: size / 2, cy: size / 2, r: c.tip_mm * k, fill: 'none', stroke: 'var(--c-mid)', 'stroke-width': i ? 0.7 : 1.4, 'stroke-dasharray': i ? '3 3' : 'none' }));
    g.append(el('circle', { cx: size / 2, cy: size / 2, r: c.root_mm * k, fill: 'none', stroke: 'var(--c-mid)', 'stroke-width': 0.6 }));
    g.append(text(size / 2, size / 2 + (c.root_mm - 4) * k, String(c.teeth), { 'text-anchor': 'middle', 'font-size': 11 }));
  });
  const inside = frame.links.filter((l) => Math.abs(l.px) < r - 4 && Math.abs(l.pz) < r - 4);
  for (const l of inside) {
    const at = frame.links.indexOf(l), a = frame.links[at - 1] || l, b = frame.links[at + 1] || l, long = Math.hypot(b.px - a.px, b.pz - a.pz) || 1;
    const d = [(b.px - a.px) / long * film.pitch_mm / 2, (b.pz - a.pz) / long * film.pitch_mm / 2], mine = f.follow.includes(l.n);
    g.append(el('line', { x1: x(l.px - d[0]), y1: y(l.pz - d[1]), x2: x(l.px + d[0]), y2: y(l.pz + d[1]), stroke: mine ? lit : l.inner ? 'var(--c-mid)' : 'var(--c-main)', 'stroke-width': mine ? 7 : 4.5, 'stroke-linecap': 'round' }));
  }
  for (const l of inside) {
    if (!f.follow.includes(l.n)) continue;
    const out = 1 + 9 / Math.hypot(l.px, l.pz);
    g.append(el('text', { x: x(l.px * out), y: y(l.pz * out) + 4, class: 'halo', 'text-anchor': 'middle', 'font-size': 12 }, String(l.n)));
  }
}

// drawAbove returns how much larger it is sideways.
function drawAbove(g, film, frame, width, height) {
  const f = film.fall, all = f.frames.flatMap((x) => x.links.filter((l) => behind(film, l.n) <= 18).map((l) => l.y));
  const edge = film.outer_mm / 2 + 1.6, low = Math.min(0, ...all) - edge, high = Math.max(...all) + edge;
  const k = (width - 40) / (22.5 * film.pitch_mm), x = (v) => 12 + (18.8 - v) * film.pitch_mm * k, y = (v) => height - (v - low) / (high - low) * height;
  f.cogs.forEach((c) => {
    if (c.y < low || c.y > high) return;
    g.append(el('rect', { x: 0, y: y(c.y + c.full_mm / 2), width: width - 26, height: Math.abs(y(0) - y(c.full_mm)), fill: 'var(--c-mid)', opacity: 0.25 }));
    g.append(text(width - 22, y(c.y) + 4, String(c.teeth), { 'font-size': 12 }));
  });
  for (const l of frame.links) {
    const n = behind(film, l.n);
    if (n < -3 || n > 18) continue;
    const next = frame.links.find((q) => behind(film, q.n) === n + 1) || l, before = frame.links.find((q) => behind(film, q.n) === n - 1) || l;
    const slope = (next.y - before.y) / ((behind(film, next.n) - behind(film, before.n)) || 1), half = (l.inner ? film.inner_mm : film.outer_mm) / 2, mine = f.follow.includes(l.n);
    for (const s of [-1, 1]) {
      const u = l.y + s * half, v = l.y + s * (half + 0.8), a = n - 0.45, b = n + 0.45, d = 0.45 * slope;
      g.append(el('path', { d: `M${x(a)} ${y(u - d)}L${x(b)} ${y(u + d)}L${x(b)} ${y(v + d)}L${x(a)} ${y(v - d)}z`, fill: mine ? lit : l.inner ? 'var(--c-mid)' : 'var(--c-main)' }));
    }
    if (l.s === 'tip' && l.f > 0) g.append(el('circle', { cx: x(n), cy: y(l.y), r: 2.4, fill: 'var(--bad)' }));
    if (mine) g.append(el('text', { x: x(n), y: y(l.y + half + 1.4), class: 'halo', 'text-anchor': 'middle', 'font-size': 12 }, String(l.n)));
  }
  return height / (high - low) / k;
}

// behind is how many links one is behind the one that climbs.
function behind(film, n) {
  const links = film.links, d = (((film.fall.follow[0] - n) % links) + links) % links;
  return d > links / 2 ? d - links : d;
}
