// The chain link by link onto a wheel, seen from above, with the crank to turn by hand; after a drop off a cog it goes on
// to the end of the fall.

import { el, text, picture, put } from './svg.js';
import { drawFall, fallHeight } from './falling.js';

const $ = (id) => document.getElementById(id);
const plate = 0.9; // mm thick, as drawn

let film = null, frames = [], watch = null, playing = false, at = 0, before = 0;

// wireFilm makes the controls ready: seen(film, frame) is told which moment is shown.
export function wireFilm(seen) {
  watch = seen;
  $('film-at').addEventListener('input', (e) => { stop(); show(Number(e.target.value)); });
  $('film-back').addEventListener('click', () => { stop(); show(Math.max(0, at - 1)); });
  $('film-step').addEventListener('click', () => { stop(); show(Math.min(frames.length - 1, at + 1)); });
  $('film-play').addEventListener('click', () => {
    if (playing) { stop(); return; }
    playing = true;
    $('film-play').setAttribute('aria-pressed', 'true');
    $('film-play').textContent = 'Pause';
    before = performance.now();
    requestAnimationFrame(step);
  });
}

function stop() {
  playing = false;
  $('film-play').setAttribute('aria-pressed', 'false');
  $('film-play').textContent = 'Play';
}

const calm = matchMedia('(prefers-reduced-motion: reduce)');

function step(t) {
  if (!playing || !film) return;
  const slower = $('film-slow').checked ? 4 : 1;
  if (t - before > (calm.matches ? 1000 : frames[at].fall ? 110 : 220) * slower) {
    before = t;
    show(at + 1 < frames.length ? at + 1 : 0);
  }
  requestAnimationFrame(step);
}

// setFilm shows another run, or none.
export function setFilm(f) {
  stop();
  film = f;
  for (const id of ['film-play', 'film-label', 'film-back', 'film-step', 'film-slow-label']) $(id).hidden = !f;
  if (!f) { frames = []; $('film').replaceChildren(); $('film-words').textContent = $('film-limits').textContent = ''; return; }
  frames = f.frames.filter((x) => !f.fall || x.angle_deg < f.fall.from_deg - 1e-6);
  if (f.fall) frames = frames.concat(f.fall.frames.map((x) => ({ ...x, fall: true })));
  $('film-at').max = frames.length - 1;
  $('film-words').textContent = f.fall ? `${f.words} ${f.fall.words}` : f.words;
  $('film-limits').textContent = f.fall ? f.fall.limits : '';
  const moment = frames.reduce((best, x, i) => (Math.abs(x.angle_deg - f.moment_deg) < Math.abs(frames[best].angle_deg - f.moment_deg) ? i : best), 0);
  show(moment);
}

function show(i) {
  at = i;
  const f = film, frame = frames[i], figure = $('film');
  watch(f, frame);
  $('film-at').value = i;
  $('film-at').setAttribute('aria-valuetext', `${frame.angle_deg.toFixed(1)} degrees of the cranks`);
  const width = Math.max(300, figure.clientWidth || 700);
  if (frame.fall) {
    const height = fallHeight(width), svg = picture(width, height, `The chain after it came off the ${f.at}, beside the wheels and from above, after ${frame.angle_deg.toFixed(1)}° of the cranks`);
    drawFall(svg, f, frame, width);
    clock(svg, f.backwards ? -frame.angle_deg : frame.angle_deg, width, height);
    put(figure, svg);
    return;
  }
  const lo = -7.4 * f.pitch_mm, hi = 4.4 * f.pitch_mm, k = (width - 20) / (hi - lo);
  const side = Math.min(13, 2.6 * k), span = f.outer_mm / 2 + plate + 0.6;
  let low = -span, high = span;
  for (const fr of f.frames) for (const l of fr.links) if (l.x > lo && l.x < hi) { low = Math.min(low, l.y - span); high = Math.max(high, l.y + span); }
  const top = 34, height = top + (high - low) * side + 34;
  const x = (v) => 10 + (v - lo) * k, y = (v) => top + (high - v) * side;
  const svg = picture(width, height, `Links running onto the ${f.at}, from above, outboard up, after ${frame.angle_deg.toFixed(1)}° of the cranks`);
  svg.append(el('line', { x1: 0, x2: width, y1: y(0), y2: y(0), stroke: 'var(--c-mid)', 'stroke-dasharray': '8 3 2 3' }));
  svg.append(el('line', { x1: x(0), x2: x(0), y1: top, y2: height - 30, stroke: 'var(--c-mid)', 'stroke-dasharray': '2 4' }), text(x(0) + 5, top + 10, `onto the ${f.at}`, { 'font-size': 11 }));
  frame.links.forEach((l, j) => {
    if (l.x < lo || l.x > hi) return;
    const a = frame.links[j - 1], b = frame.links[j + 1], slope = a && b && b.x !== a.x ? (b.y - a.y) / (b.x - a.x) : 0;
    const half = (l.inner ? f.inner_mm : f.outer_mm) / 2, reach = 0.58 * f.pitch_mm;
    if (l.t > 0) svg.append(el('rect', { x: x(l.x) - 2.2 * k, y: y(l.t / 2), width: 4.4 * k, height: l.t * side, fill: l.tip ? 'var(--bad)' : 'var(--c-climb)', stroke: 'var(--c-main)', 'stroke-width': 0.6 }));
    for (const s of [-1, 1]) {
      const u = l.y + s * half, v = l.y + s * (half + plate), d = slope * reach;
      svg.append(el('path', { d: `M${x(l.x - reach)} ${y(u - d)}L${x(l.x + reach)} ${y(u + d)}L${x(l.x + reach)} ${y(v + d)}L${x(l.x - reach)} ${y(v - d)}z`, fill: l.inner ? 'var(--c-mid)' : 'var(--c-main)', stroke: l.n === f.link ? 'var(--c-climb)' : 'none', 'stroke-width': 2 }));
    }
    if (l.tip) svg.append(halo(x(l.x), y(l.y - half - plate) + 13, 'on the tip'));
  });
  clock(svg, f.backwards ? -frame.angle_deg : frame.angle_deg, width, height);
  svg.append(text(10, 16, 'from above, travel to the right, outboard up; dark: outer links, grey: inner links', { 'font-size': 11.5 }));
  svg.append(text(10, 30, `sideways ${(side / k).toFixed(1)} times larger`, { 'font-size': 11 }));
  put(figure, svg);
}

function halo(x, y, words) { return el('text', { x, y, class: 'halo bad', 'text-anchor': 'middle', 'font-size': 11.5 }, words); }

// clock shows the crank's angle as a hand, as seen from the drive side.
function clock(svg, angle, width, height) {
  const a = angle * Math.PI / 180, cx = width - 22, cy = 22;
  svg.append(el('circle', { cx, cy, r: 15, fill: 'var(--paper)', stroke: 'var(--c-main)' }), el('line', { x1: cx, y1: cy, x2: cx + 13 * Math.sin(a), y2: cy - 13 * Math.cos(a), stroke: 'var(--c-climb)', 'stroke-width': 3 }));
  svg.append(text(width - 10, height - 10, `crank ${Math.abs(angle).toFixed(1)}°${angle < 0 ? ' backwards' : ''}`, { 'text-anchor': 'end', 'font-size': 12 }));
}
