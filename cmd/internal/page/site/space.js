// The instrument: one gear in space, to be turned, stretched across the bicycle, cut where the chain arrives, and rolled.
// Numbers and words are the engine's; where there is no WebGL 2 views.js draws it in lines.

import { el } from './svg.js';
import { inSpace } from './views.js';
import { comeAs, itemsOf, verticesOf } from './scene.js';
import { stageOn } from './gl.js';
import { lookAt, wheelUnder } from './look.js';
import { arrivalOf, callouts } from './callouts.js';
import { drawCut } from './cut.js';

const $ = (id) => document.getElementById(id);
const calm = matchMedia('(prefers-reduced-motion: reduce)'), dark = matchMedia('(prefers-color-scheme: dark)');
const whole = { azimuth: 34, height: 24, zoom: 1, pan: [0, 0] };
const sides = { 'space-side': [0, 0], 'space-above': [0, 89], 'space-behind': [90, 0], 'space-whole': [whole.azimuth, whole.height] };

const view = { ...whole, stretch: 4, cut: false };
let stage = null, canvas = null, notes = null; // null: nothing can be drawn but lines
let answer = null, about = null; // the engine's, and what the page knows of the gear
let come = null; // as links come onto the wheel in the film, or straight
let look = null, shades = null, phase = 0, rolling = 0, then = 0, waited = 0, due = false, moved = true, seen = false; // drawn as it is

// canDraw reports whether the instrument can draw; else lines are. It begins when it is first asked, so that a page on
// which the space stays folded does not wait for it.
export function canDraw() {
  if (!canvas) begin();
  return stage !== null;
}

function begin() {
  const figure = $('space');
  canvas = document.createElement('canvas');
  try { stage = stageOn(canvas, () => { moved = true; later(); }); } catch { stage = null; } // a driver that does not compile is as none
  $('space-tools').hidden = $('space-roll').hidden = !stage;
  if (!stage) { $('space-hint').textContent = 'Drag, or use the arrow keys, to turn it.'; return; }
  notes = el('svg', { 'aria-hidden': 'true' });
  figure.append(canvas, notes);
  figure.classList.add('solid');
  new ResizeObserver(later).observe(figure);
  dark.addEventListener('change', later);
}

// wireSpace makes the controls ready: pick(cog) chooses one, drag(path, by, done) moves a chainline by so many mm since
// it was taken, seen() draws it anew.
export function wireSpace({ pick, drag, seen }) {
  const figure = $('space'), anew = () => (stage ? later() : seen());
  wireTools(anew);
  wireKeys(figure, anew, pick, drag);
  wirePointer(figure, anew, pick, drag);
  addEventListener('beforeprint', () => { if (about && $('space-box').open) inSpace($('space-still'), about.shapes, about.index, view.azimuth, view.height); });
}

// showSpace takes an answer, and what else the page knows: document and shapes, the gear's index, direction, and which
// numbers are of trouble. Without a new answer the last one stays.
export function showSpace(a, more) {
  about = more;
  if (!canDraw()) { inSpace($('space'), about.shapes, about.index, view.azimuth, view.height); return; }
  if (a) {
    answer = a;
    come = null;
    stage.load(itemsOf(a));
    $('space-words').textContent = a.words;
  }
  moved = true; // the accent may have gone elsewhere
  later();
}

// showFilm shows a moment of a film of the gear at hand: its links as they come onto the wheel, and the cranks as they are.
export function showFilm(film, frame) {
  if (!stage || !answer) return;
  const entry = answer.cut.ways.find((w) => w.direction === (film.backwards ? 'backwards' : 'riding') && w.at === film.part);
  if (!entry || !frame.links.some((l) => !l.inner)) return;
  rolling = 0;
  come = comeAs(answer, entry, film, frame, (film.backwards ? -1 : 1) * frame.angle_deg / 360 * answer.ring);
  phase = come.phase;
  moved = true;
  tools();
  crank();
  later();
}

// later draws once, before the next picture.
function later() {
  seen = false;
  wait();
}

function wait() {
  if (due) return;
  due = true;
  requestAnimationFrame((t) => { due = false; if (rolling) { roll(t); wait(); } if (!seen || moved) draw(); });
}

// draw draws what changed: while the chain rolls only the solids, which it moves.
function draw() {
  const figure = $('space'), width = figure.clientWidth, height = figure.clientHeight;
  if (!answer || !about || !width) return;
  const entry = answer.cut.ways.find((w) => w.direction === about.direction), g = about.shapes.gears[about.index], arrival = arrivalOf(g, about.direction), mine = about.gear.ring_teeth === answer.ring && about.gear.cog_teeth === answer.cog;
  if (moved) { stage.move(phase, mine && entry && about.bad.bend ? arrival.at : null, come); moved = false; }
  if (!seen) {
    const fine = Math.min(2, devicePixelRatio || 1), size = [Math.round(width * fine), Math.round(height * fine)];
    if (canvas.width !== size[0] || canvas.height !== size[1]) [canvas.width, canvas.height] = size;
    look = lookAt(view, view.cut ? nearTo(arrival.at) : rimOf(answer), width, height);
    shades = colours();
    notes.replaceChildren();
    if (mine) callouts(notes, look, { answer, gear: about.gear, shape: g, entry, arrival, bad: about.bad }, busyOf(answer, look), width, height);
    drawCut($('space-cut'), answer.cut, mine && entry, about.bad.bend);
    $('space-cut-words').textContent = mine && entry ? entry.words : '';
    seen = true;
  }
  const d = [arrival.from[0] - arrival.at[0], arrival.from[2] - arrival.at[2]], forward = Math.sign(d[0]) / Math.hypot(...d), normal = [d[0] * forward, 0, d[1] * forward];
  stage.draw(look, shades, view.cut ? [...normal, normal[0] * arrival.at[0] + normal[2] * arrival.at[2]] : null);
  figure.dataset.frames = Number(figure.dataset.frames || 0) + 1;
}

// roll moves the chain on: four pitches a second, or with less motion asked for one.
function roll(t) {
  const dt = Math.min(Math.max(0, t - then) / 1000, 0.1);
  then = t;
  waited += dt;
  if (calm.matches && waited < 1) return;
  come = null;
  phase += rolling * (calm.matches ? 1 : 4 * dt);
  waited = 0;
  moved = true;
  crank();
}

// crank shows on its control how far the cranks are turned.
function crank() {
  const turned = phase / answer.ring * 360, at = Math.round(((turned % 360) + 360) % 360);
  $('space-crank').value = at;
  $('space-crank').setAttribute('aria-valuetext', `${at} degrees`);
}

// rimOf are points that hold the wheels and the chain.
function rimOf(a) {
  const out = [];
  for (const w of a.wheels) for (let i = 0; i < 24; i++) out.push([w.at[0] + w.tip * Math.cos(i * Math.PI / 12), w.at[1], w.at[2] + w.tip * Math.sin(i * Math.PI / 12)]);
  for (let i = 0; i < a.run.length; i += 24 * a.steps) out.push(a.run.slice(i, i + 3));
  return out;
}

// nearTo are corners of what is about a place, for a cut.
const nearTo = (p) => [-1, 1].flatMap((i) => [-1, 1].flatMap((j) => [-1, 1].map((k) => [p[0] + 16 * i, p[1] + 9 * j, p[2] + 16 * k])));

// busyOf are pixels that words keep off: the chain and the rims of the wheels.
function busyOf(a, look) {
  const out = [];
  for (let i = 0; i < a.run.length; i += 3 * a.steps) out.push(look.project(a.run.slice(i, i + 3)));
  for (const w of a.wheels) for (let i = 0; i < 16; i++) for (const r of [0.95, 0.6]) out.push(look.project([w.at[0] + r * w.tip * Math.cos(i * Math.PI / 8), w.at[1], w.at[2] + r * w.tip * Math.sin(i * Math.PI / 8)]));
  return out;
}

// colours are mixed of the page's ink, paper and accent, so that they follow its scheme.
function colours() {
  const style = getComputedStyle(document.documentElement), of = (name) => { const h = style.getPropertyValue(name).trim().slice(1); return [0, 2, 4].map((i) => parseInt(h.slice(i, i + 2), 16) / 255); };
  const ink = of('--ink'), paper = of('--paper'), mix = (f) => ink.map((v, i) => v + f * (paper[i] - v));
  return { ink, accent: of('--accent'), outer: mix(0.18), inner: mix(0.5), lit: mix(0.4), wheel: mix(0.9), cage: mix(0.6), tyre: mix(0.86), stay: mix(0.72) };
}

function wireTools(anew) {
  for (const [id, [azimuth, height]] of Object.entries(sides)) $(id).addEventListener('click', () => { Object.assign(view, whole, { azimuth, height, cut: false }); tools(); anew(); });
  for (const id of ['space-1', 'space-4']) $(id).addEventListener('click', () => { view.stretch = Number(id.at(-1)); tools(); anew(); });
  $('space-cut-button').addEventListener('click', () => cutOrNot(anew));
  $('space-in').addEventListener('click', () => zoom(1.25, anew));
  $('space-out').addEventListener('click', () => zoom(0.8, anew));
  for (const [id, way] of [['space-ahead', 1], ['space-back', -1]]) $(id).addEventListener('click', () => rollOrNot(way));
  $('space-crank').addEventListener('input', (e) => {
    rolling = 0;
    come = null;
    const turn = answer.ring, whole = Math.floor(phase / turn) * turn;
    phase = whole + Number(e.target.value) / 360 * turn;
    moved = true;
    tools();
    crank();
    later();
  });
  tools();
}

// tools says on the buttons what is so.
function tools() {
  const on = { 'space-1': view.stretch === 1, 'space-4': view.stretch === 4, 'space-cut-button': view.cut, 'space-ahead': rolling > 0, 'space-back': rolling < 0 };
  for (const [id, is] of Object.entries(on)) $(id).setAttribute('aria-pressed', String(is));
}

function rollOrNot(way) {
  rolling = rolling === way ? 0 : way;
  then = performance.now();
  tools();
  later();
}

function cutOrNot(anew) {
  view.cut = !view.cut;
  Object.assign(view, whole, view.cut ? { azimuth: 76, height: 14 } : {});
  tools();
  anew();
}

function zoom(by, anew, x, y) {
  const to = Math.min(12, Math.max(0.5, view.zoom * by)), f = to / view.zoom, box = $('space');
  const from = [(x ?? box.clientWidth / 2) - box.clientWidth / 2, (y ?? box.clientHeight / 2) - box.clientHeight / 2];
  view.pan = view.pan.map((p, i) => from[i] - f * (from[i] - p));
  view.zoom = to;
  anew();
}

function turn(azimuth, height, anew) {
  view.azimuth = (view.azimuth + azimuth) % 360;
  view.height = Math.max(-89, Math.min(89, view.height + height));
  anew();
}

function wireKeys(figure, anew, pick, drag) {
  const turns = { ArrowLeft: [-5, 0], ArrowRight: [5, 0], ArrowUp: [0, 5], ArrowDown: [0, -5] }, lines = { ArrowLeft: -0.25, ArrowRight: 0.25 };
  const others = {
    '+': () => zoom(1.25, anew), '=': () => zoom(1.25, anew), '-': () => zoom(0.8, anew), Home: () => { Object.assign(view, whole, { cut: false }); tools(); anew(); },
    x: () => { view.stretch = 5 - view.stretch; tools(); anew(); }, c: () => cutOrNot(anew), ' ': () => rollOrNot(rolling || (about?.direction === 'riding' ? 1 : -1)),
    PageUp: () => next(1, pick), PageDown: () => next(-1, pick),
  };
  figure.addEventListener('keydown', (e) => {
    if (e.ctrlKey || e.metaKey || e.altKey) return;
    if (e.shiftKey && lines[e.key] && stage) drag('front.line', lines[e.key], true);
    else if (turns[e.key]) turn(...turns[e.key], anew);
    else if (others[e.key] && stage) others[e.key]();
    else return;
    e.preventDefault();
  });
}

// next chooses the next larger or smaller cog.
function next(by, pick) {
  const cogs = about.shapes.cogs.map((c) => c.teeth), to = cogs[cogs.indexOf(about.gear.cog_teeth) + by];
  if (to !== undefined) pick(to);
}

// wirePointer: a lit ring or cog is dragged across the bicycle, a press on another cog chooses it, all else turns. Two
// fingers zoom.
function wirePointer(figure, anew, pick, drag) {
  const down = new Map();
  let held = null, from = null, far = 0, apart = 0;
  const at = (e) => { const r = figure.getBoundingClientRect(); return [e.clientX - r.left, e.clientY - r.top]; };
  const over = (e) => (stage && look && answer ? wheelUnder(look, answer.wheels, ...at(e)) : undefined);
  const lines = { ring: 'front.line', cog: 'rear.line' };
  const movable = (w) => w?.drives && lines[w.part] && Math.hypot(...look.across) > 0.4 && about.movable.includes(lines[w.part]);
  const by = (e) => { const [ax, ay] = held.across; return Math.round(((e.clientX - from[0]) * ax + (e.clientY - from[1]) * ay) / (ax * ax + ay * ay) * 4) / 4; };
  figure.addEventListener('pointerdown', (e) => {
    figure.setPointerCapture(e.pointerId);
    down.set(e.pointerId, [e.clientX, e.clientY]);
    if (down.size > 1) { held = null; apart = 0; return; }
    const w = over(e);
    held = { wheel: w, path: movable(w) ? lines[w.part] : null, across: look?.across };
    from = [e.clientX, e.clientY];
    far = 0;
  });
  figure.addEventListener('pointermove', (e) => {
    if (!down.has(e.pointerId)) {
      if (stage) figure.style.cursor = ((w) => (movable(w) ? 'ew-resize' : w?.part === 'cog' ? 'pointer' : ''))(over(e));
      return;
    }
    const was = down.get(e.pointerId);
    down.set(e.pointerId, [e.clientX, e.clientY]);
    if (down.size === 2) {
      const [a, b] = [...down.values()], now = Math.hypot(a[0] - b[0], a[1] - b[1]), r = figure.getBoundingClientRect();
      if (apart && stage) zoom(now / apart, anew, (a[0] + b[0]) / 2 - r.left, (a[1] + b[1]) / 2 - r.top);
      apart = now;
      return;
    }
    if (!held) return;
    far = Math.max(far, Math.hypot(e.clientX - from[0], e.clientY - from[1]));
    if (far < 4) return; // a press
    if (held.path) drag(held.path, by(e), false);
    else turn((e.clientX - was[0]) * 0.5, (e.clientY - was[1]) * 0.5, anew);
  });
  const end = (e) => {
    if (!down.delete(e.pointerId) || !held) return;
    const { wheel, path } = held;
    if (far >= 4 && path) drag(path, by(e), true);
    else if (far < 4 && wheel?.part === 'cog' && e.type === 'pointerup') pick(wheel.teeth);
    held = null;
  };
  figure.addEventListener('pointerup', end);
  figure.addEventListener('pointercancel', end);
  figure.addEventListener('wheel', (e) => {
    if (!stage || document.activeElement !== figure) return; // else the page scrolls
    e.preventDefault();
    zoom(Math.exp(-e.deltaY / 500), anew, ...at(e));
  }, { passive: false });
}

// What tests and the curious ask of the instrument.
export const known = {
  get view() { return { ...view }; }, get turn() { return look && [...look.turn, ...look.window, look.k, look.stretch]; }, get phase() { return phase; },
  get answer() { return answer; }, get come() { return come && { tips: come.tips, off: (s, y) => come.off(s, y), lift: (s) => come.lift(s), lean: (s) => come.lean(s) }; }, vertices: () => verticesOf(answer, phase), pixel: (p) => look.project(p),
  // frames lets the chain roll for so many pictures and returns how long each took the page, ms, without the drawing that
  // the graphics card does then.
  frames: (n) => Array.from({ length: n }, () => {
    const begun = performance.now();
    phase += 1 / 15;
    moved = true;
    draw();
    return performance.now() - begun;
  }),
};
