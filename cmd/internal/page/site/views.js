// The bicycle at true scale: from above, from the side, in space. Lengths are mm;
// x forward, y to the drive side, z up.

import { el, text, picture, put, room } from './svg.js';

function scaleBar(svg, x, y, k) {
  svg.append(el('path', { d: `M${x} ${y}h${50 * k}`, stroke: 'var(--c-main)', 'stroke-width': 2 }));
  svg.append(text(x + 50 * k + 6, y + 4, '50 mm'));
}

// above draws the top run of every gear of a ring, the chosen one strong.
export function above(figure, shape, lines, gears, ringTeeth, cogTeeth) {
  const front = Math.max(lines.front_mm, lines.rear_mm, ...shape.rings.map((r) => r.line), ...shape.cogs.map((c) => c.line));
  const back = shape.axle[0] - Math.max(...shape.cogs.map((c) => c.tip)) - 12;
  const head = Math.max(...shape.rings.map((r) => r.tip)) + 12;
  const inner = shape.tyre ? Math.min(-12, shape.tyre.dish - shape.tyre.width / 2 - 6) : -12;
  const width = room(figure), k = width / (head - back), height = (front + 14 - inner) * k + 30;
  const x = (v) => (v - back) * k, y = (v) => (v - inner) * k;
  const svg = picture(width, height, 'The chain from above, top run, at true scale');
  if (shape.tyre) {
    const t = shape.tyre, r = t.width / 2;
    svg.append(el('rect', { x: x(shape.axle[0] - t.outside), y: y(t.dish - r), width: 2 * t.outside * k, height: t.width * k, rx: r * k, fill: 'var(--c-pale)' }));
    svg.append(text(x(shape.axle[0] / 2), y(t.dish + r / 2) + 4, 'tyre', { 'text-anchor': 'middle' }));
  }
  if (shape.stay) {
    const s = shape.stay, face = (v) => s.face + (-v - s.at) * s.slope;
    svg.append(el('line', { x1: x(-30), y1: y(face(-30)), x2: x(shape.axle[0]), y2: y(face(shape.axle[0])), stroke: 'var(--c-mid)', 'stroke-width': 4 }));
    svg.append(text(x(-42), y(face(-42)) - 6, 'chainstay', { 'text-anchor': 'end' }));
  }
  for (const [v, words, colour, dash] of [[0, 'middle plane', 'var(--c-mid)', ''], [lines.front_mm, 'front line', 'var(--c-climb)', '7 4'], [lines.rear_mm, 'rear line', 'var(--c-quiet)', '2 3']]) {
    svg.append(el('line', { x1: 0, x2: width, y1: y(v), y2: y(v), stroke: colour, 'stroke-width': v === 0 ? 1 : 2, 'stroke-dasharray': dash }));
    if (v !== 0) svg.append(text(words === 'front line' ? width - 6 : 6, y(v) + (v === Math.max(lines.front_mm, lines.rear_mm) ? 15 : -5), words, { 'text-anchor': words === 'front line' ? 'end' : 'start' }));
  }
  for (const [list, at] of [[shape.rings, 0], [shape.cogs, shape.axle[0]]]) {
    for (const d of list) svg.append(el('rect', { x: x(at - d.tip), y: y(d.line - d.thick / 2), width: 2 * d.tip * k, height: Math.max(d.thick * k, 1), fill: 'var(--c-mid)' }));
  }
  gears.forEach((g, i) => {
    if (g.ring_teeth !== ringTeeth) return;
    const { spans, wheels } = shape.gears[i], on = g.cog_teeth === cogTeeth;
    let d = `M${x(spans[0][0])} ${y(wheels[0].line)}`; // from cog to ring, over an idler if it lies there
    for (let k = 0; wheels[k].part !== 'ring'; k++) d += `L${x(spans[k][0])} ${y(wheels[k].line)}L${x(spans[k][2])} ${y(wheels[k + 1].line)}`;
    svg.append(el('path', { d, fill: 'none', stroke: 'var(--c-main)', 'stroke-width': on ? 3.5 : 0.9 }));
  });
  scaleBar(svg, 8, height - 10, k);
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

// side draws a gear from the drive side; the moving chain is a dashed line that main
// shifts.
export function side(figure, shape, index) {
  const g = shape.gears[index];
  let x0 = 1e9, x1 = -1e9, z0 = 1e9, z1 = -1e9;
  const see = (x, z, r) => { x0 = Math.min(x0, x - r); x1 = Math.max(x1, x + r); z0 = Math.min(z0, z - r); z1 = Math.max(z1, z + r); };
  for (const c of shape.cogs) see(...shape.axle, c.tip);
  for (const r of shape.rings) see(0, 0, r.tip);
  for (const w of g.wheels) see(w.x, w.z, w.r + 5);
  const pad = 12, width = room(figure), k = width / (x1 - x0 + 2 * pad), height = (z1 - z0 + 2 * pad) * k + 16;
  const x = (v) => (v - x0 + pad) * k, y = (v) => (z1 + pad - v) * k;
  const svg = picture(width, height, 'The chain path from the drive side, at true scale');
  const circle = (cx, cz, r, stroke, w, dash = '') => svg.append(el('circle', { cx: x(cx), cy: y(cz), r: r * k, fill: 'none', stroke, 'stroke-width': w, 'stroke-dasharray': dash }));
  if (shape.tyre) circle(...shape.axle, shape.tyre.outside, 'var(--c-pale)', 2);
  for (const c of shape.cogs) circle(...shape.axle, c.tip, 'var(--c-pale)', 1);
  for (const r of shape.rings) circle(0, 0, r.tip, 'var(--c-pale)', 1);
  const cage = g.wheels.slice(-2); // the pulleys come last
  if (g.wheels.length > 3) svg.append(el('line', { x1: x(cage[0].x), y1: y(cage[0].z), x2: x(cage[1].x), y2: y(cage[1].z), stroke: 'var(--c-quiet)', 'stroke-width': 5 }));
  for (const w of g.wheels) { circle(w.x, w.z, w.r, 'var(--c-mid)', 1, '5 4'); circle(w.x, w.z, 2, 'var(--c-main)', 2); }
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
  svg.append(text(4, tall - 6, "dashed: the frame's middle plane, the two axles"));
  put(figure, svg);
}
