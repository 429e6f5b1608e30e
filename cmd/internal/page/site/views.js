// The bicycle at true scale: from above, from the side, in space. Lengths are mm;
// x forward, y to the drive side, z up.

import { el, text, picture, put, room } from './svg.js';

function scaleBar(svg, x, y, k) {
  svg.append(el('path', { d: `M${x} ${y}h${50 * k}`, stroke: 'var(--c-main)', 'stroke-width': 2 }));
  svg.append(text(x + 50 * k + 6, y + 4, '50 mm'));
}

// tyreAt returns how far the tyre reaches inboard and outboard at a place behind the bottom
// bracket and a height, or null where it is not.
function tyreAt(t, axle, x, z) {
  const r = t.width / 2, away = Math.hypot(x - axle[0], z - axle[1]) - (t.outside - r);
  return Math.abs(away) < r ? Math.sqrt(r * r - away * away) : null;
}

// above draws the top run of every gear of a ring, the chosen one strong, with what is at the
// chain's height: cogs, rings and what of the tyre reaches up there. Sideways it can be drawn
// larger. Outboard is up, travel to the right, as in every figure.
export function above(figure, shape, lines, gears, ringTeeth, cogTeeth, stretch) {
  const chosen = Math.max(0, gears.findIndex((g) => g.ring_teeth === ringTeeth && g.cog_teeth === cogTeeth)), run = shape.gears[chosen].spans[0];
  const out = Math.max(lines.front_mm, lines.rear_mm, ...shape.rings.map((r) => r.line), ...shape.cogs.map((c) => c.line)) + 6;
  const back = shape.axle[0] - Math.max(...shape.cogs.map((c) => c.tip)) - 12, head = Math.max(...shape.rings.map((r) => r.tip)) + 12;
  const height = (x) => run[1] + (run[3] - run[1]) * (x - run[0]) / (run[2] - run[0]); // of the chosen top run
  const edge = [];
  if (shape.tyre) for (let x = back; x <= head; x += 2) { const h = tyreAt(shape.tyre, shape.axle, x, height(x)); if (h !== null) edge.push([x, shape.tyre.dish + h]); }
  const inner = Math.min(...shape.cogs.map((c) => c.line), ...shape.rings.map((r) => r.line), ...edge.map((e) => e[1])) - 8;
  const width = room(figure), k = width / (head - back), ky = k * stretch, tall = (out - inner) * ky + 44;
  const x = (v) => (v - back) * k, y = (v) => 6 + (out - v) * ky;
  const svg = picture(width, tall, `The chain from above, top run, ${stretch === 1 ? 'at true scale' : `sideways ${stretch} times larger`}`);
  if (edge.length) {
    svg.append(el('path', { d: `M${x(edge[0][0])} ${y(inner)}${edge.map((e) => `L${x(e[0])} ${y(e[1])}`).join('')}L${x(edge.at(-1)[0])} ${y(inner)}z`, fill: 'var(--c-pale)' }));
    svg.append(text(x((edge[0][0] + edge.at(-1)[0]) / 2), y(inner) - 6, "tyre, at the chain's height", { 'text-anchor': 'middle', class: 'halo' }));
  }
  for (const [v, words, colour, dash] of [[lines.front_mm, 'front chainline', 'var(--c-climb)', '7 4'], [lines.rear_mm, 'rear chainline', 'var(--c-quiet)', '2 3']]) {
    svg.append(el('line', { x1: 0, x2: width, y1: y(v), y2: y(v), stroke: colour, 'stroke-width': 2, 'stroke-dasharray': dash }));
    const high = v === Math.max(lines.front_mm, lines.rear_mm);
    svg.append(text(words === 'front chainline' ? width - 6 : 6, y(v) + (high ? -5 : 15), words, { 'text-anchor': words === 'front chainline' ? 'end' : 'start', class: 'halo' }));
  }
  for (const [list, at] of [[shape.rings, 0], [shape.cogs, shape.axle[0]]]) {
    for (const d of list) svg.append(el('rect', { x: x(at - d.tip), y: y(d.line) - Math.max(d.thick * ky, 1) / 2, width: 2 * d.tip * k, height: Math.max(d.thick * ky, 1), fill: 'var(--c-mid)' }));
  }
  gears.forEach((g, i) => {
    if (g.ring_teeth !== ringTeeth) return;
    const { spans, wheels } = shape.gears[i];
    let d = `M${x(spans[0][0])} ${y(wheels[0].line)}`; // from cog to ring, over an idler if it lies there
    for (let k = 0; wheels[k].part !== 'ring'; k++) d += `L${x(spans[k][0])} ${y(wheels[k].line)}L${x(spans[k][2])} ${y(wheels[k + 1].line)}`;
    svg.append(el('path', { d, fill: 'none', stroke: 'var(--c-main)', 'stroke-width': i === chosen ? 3.5 : 0.9 }));
  });
  scaleBar(svg, 8, tall - 10, k);
  svg.append(text(width - 6, tall - 6, 'outboard up, travel to the right', { 'text-anchor': 'end', 'font-size': 12 }));
  put(figure, svg);
}

// path returns a gear's loop as a list of points along the chain, x z y.
export function path(g, lines) {
  const out = [];
  const n = g.wheels.length;
  g.wheels.forEach((w, i) => {
    const into = g.spans[(i + n - 1) % n], start = Math.atan2(into[3] - w.z, into[2] - w.x);
    const steps = Math.max(4, Math.ceil(w.wrap * w.r / 3));
    for (let k = 0; k <= steps; k++) {
      const a = start + w.sense * w.wrap * k / steps;
      out.push([w.x + w.r * Math.cos(a), w.z + w.r * Math.sin(a), w.line]);
    }
  });
  out.push(out[0]);
  return out;
}

const crank = 172; // mm, as drawn

// spin turns the moving chain's links by a way along the chain, and cranks and wheels with it.
export function spin(shift) {
  document.getElementById('moving')?.setAttribute('stroke-dashoffset', shift.toFixed(2));
  for (const w of document.querySelectorAll('.turns')) {
    const d = w.dataset, a = (shift / Number(d.r)) * Number(d.sense) * 180 / Math.PI;
    w.setAttribute('transform', `rotate(${(a % 360).toFixed(2)} ${d.x} ${d.y})`);
  }
}

// side draws a gear from the drive side; the moving chain is a dashed line that main
// shifts.
export function side(figure, shape, index) {
  const g = shape.gears[index];
  let x0 = 1e9, x1 = -1e9, z0 = 1e9, z1 = -1e9;
  const see = (x, z, r) => { x0 = Math.min(x0, x - r); x1 = Math.max(x1, x + r); z0 = Math.min(z0, z - r); z1 = Math.max(z1, z + r); };
  for (const c of shape.cogs) see(...shape.axle, c.tip);
  for (const r of shape.rings) see(0, 0, r.tip);
  for (const w of g.wheels) see(w.x, w.z, w.r + 5);
  see(0, 0, crank + 8);
  const pad = 12, width = room(figure), k = width / (x1 - x0 + 2 * pad), height = (z1 - z0 + 2 * pad) * k + 16;
  const x = (v) => (v - x0 + pad) * k, y = (v) => (z1 + pad - v) * k;
  const svg = picture(width, height, 'The chain path from the drive side, at true scale');
  const circle = (cx, cz, r, stroke, w, dash = '') => svg.append(el('circle', { cx: x(cx), cy: y(cz), r: r * k, fill: 'none', stroke, 'stroke-width': w, 'stroke-dasharray': dash }));
  if (shape.tyre) circle(...shape.axle, shape.tyre.outside, 'var(--c-pale)', 2);
  for (const c of shape.cogs) circle(...shape.axle, c.tip, 'var(--c-pale)', 1);
  for (const r of shape.rings) circle(0, 0, r.tip, 'var(--c-pale)', 1);
  const cage = g.wheels.slice(-2); // the pulleys come last
  if (g.wheels.length > 3) svg.append(el('line', { x1: x(cage[0].x), y1: y(cage[0].z), x2: x(cage[1].x), y2: y(cage[1].z), stroke: 'var(--c-quiet)', 'stroke-width': 5 }));
  g.wheels.forEach((w) => {
    circle(w.x, w.z, w.r, 'var(--c-mid)', 1, '5 4');
    const spokes = el('g', { class: 'turns', 'data-x': x(w.x), 'data-y': y(w.z), 'data-r': w.r * k, 'data-sense': w.sense });
    for (let i = 0; i < (w.part === 'ring' ? 4 : 5); i++) {
      const a = i * 2 * Math.PI / (w.part === 'ring' ? 4 : 5);
      spokes.append(el('line', { x1: x(w.x), y1: y(w.z), x2: x(w.x + w.r * 0.8 * Math.cos(a)), y2: y(w.z + w.r * 0.8 * Math.sin(a)), stroke: 'var(--c-pale)', 'stroke-width': 2 }));
    }
    if (w.part === 'ring') spokes.append(el('line', { x1: x(0), y1: y(0), x2: x(crank), y2: y(0), stroke: 'var(--c-main)', 'stroke-width': 6, 'stroke-linecap': 'round' }), el('rect', { x: x(crank) - 10, y: y(0) - 4, width: 20, height: 8, fill: 'var(--c-mid)' }));
    svg.append(spokes);
    circle(w.x, w.z, 2, 'var(--c-main)', 2);
  });
  const d = path(g).map((p, i) => `${i ? 'L' : 'M'}${x(p[0]).toFixed(1)} ${y(p[1]).toFixed(1)}`).join('');
  svg.append(el('path', { d, fill: 'none', stroke: 'var(--c-main)', 'stroke-width': 3 }));
  const link = shape.pitch * k;
  svg.append(el('path', { id: 'moving', d, fill: 'none', stroke: 'var(--c-climb)', 'stroke-width': 5, 'stroke-dasharray': `${link * 0.55} ${link * 1.45}` }));
  scaleBar(svg, 8, height - 8, k);
  put(figure, svg);
  return 2 * link; // two pitches: an inner and an outer link
}

// space draws a gear in space, looked at from an azimuth and a height, in degrees.
export function inSpace(figure, shape, index, azimuth, height) {
  const g = shape.gears[index], a = azimuth * Math.PI / 180, h = height * Math.PI / 180;
  const ca = Math.cos(a), sa = Math.sin(a), ch = Math.cos(h), sh = Math.sin(h);
  // Seen from the drive side: x to the right, z up; azimuth turns about z, height tips.
  const turn = (x, z, y) => {
    const deep = y * ca - x * sa;
    return [x * ca + y * sa, z * ch - deep * sh];
  };
  // As large as it fits, whatever the turn.
  const rim = [];
  for (const [list, x, z] of [[shape.cogs, ...shape.axle], [shape.rings, 0, 0]]) for (const c of list) for (let i = 0; i < 16; i++) rim.push(turn(x + c.tip * Math.cos(i * Math.PI / 8), z + c.tip * Math.sin(i * Math.PI / 8), c.line));
  for (const w of g.wheels) for (let i = 0; i < 16; i++) rim.push(turn(w.x + w.r * Math.cos(i * Math.PI / 8), w.z + w.r * Math.sin(i * Math.PI / 8), w.line));
  const lo = [0, 1].map((i) => Math.min(...rim.map((p) => p[i]))), hi = [0, 1].map((i) => Math.max(...rim.map((p) => p[i])));
  const width = room(figure), tall = Math.max(260, width * 0.5);
  const k = Math.min((width - 24) / (hi[0] - lo[0]), (tall - 60) / (hi[1] - lo[1]));
  const project = (x, z, y) => {
    const [right, up] = turn(x, z, y);
    return [width / 2 + (right - (lo[0] + hi[0]) / 2) * k, (tall - 30) / 2 - (up - (lo[1] + hi[1]) / 2) * k];
  };
  const line = (points) => points.map((p, i) => { const q = project(...p); return `${i ? 'L' : 'M'}${q[0].toFixed(1)} ${q[1].toFixed(1)}`; }).join('');
  const ring = (x, z, r, y) => { const out = []; for (let i = 0; i <= 48; i++) out.push([x + r * Math.cos(i * Math.PI / 24), z + r * Math.sin(i * Math.PI / 24), y]); return line(out); };
  const svg = picture(width, tall, 'The chain path in space');
  for (const c of shape.cogs) svg.append(el('path', { d: ring(...shape.axle, c.pitch, c.line), fill: 'none', stroke: 'var(--c-pale)' }));
  for (const r of shape.rings) svg.append(el('path', { d: ring(0, 0, r.pitch, r.line), fill: 'none', stroke: 'var(--c-pale)' }));
  for (const w of g.wheels) svg.append(el('path', { d: ring(w.x, w.z, w.r, w.line), fill: 'none', stroke: 'var(--c-mid)', 'stroke-width': 1.5 }));
  svg.append(el('path', { d: line([[0, 0, -10], [0, 0, 80]]) + line([[...shape.axle, -10], [...shape.axle, 80]]), stroke: 'var(--c-quiet)', 'stroke-dasharray': '4 3', fill: 'none' }));
  svg.append(el('path', { d: line([[0, 0, 0], [...shape.axle, 0]]), stroke: 'var(--c-climb)', 'stroke-dasharray': '7 4', fill: 'none' }));
  svg.append(el('path', { d: line(path(g)), fill: 'none', stroke: 'var(--c-main)', 'stroke-width': 3, 'stroke-linejoin': 'round' }));
  svg.append(text(4, tall - 22, `seen from ${Math.round(azimuth)}° round, ${Math.round(height)}° up`));
  svg.append(text(4, tall - 6, "dashed: the frame centreline, the two axles"));
  put(figure, svg);
}
