// The page: it keeps the case as YAML, asks the engine, and draws what it answers.

import { chart, bars, lineMap } from './chart.js';
import { above, side, inSpace } from './views.js';
import { lesson } from './lesson.js';
import { wireLearn, drawLearn, lessonSaid } from './learn.js';
import * as door from './door.js';

const $ = (id) => document.getElementById(id);

// What the sliders move, and how: label, step, and the range that makes sense beside
// the one that the engine allows.
const measures = {
  'front.line': { label: 'Front line', step: 0.25, lo: 35, hi: 65 },
  'frame.stay': { label: 'Chainstay length', step: 1, lo: 390, hi: 480 },
  'rear.line': { label: 'Rear line (hub and spacing)', step: 0.25, lo: 38, hi: 56 },
  'front.rings[0]': { label: 'Ring', step: 2, lo: 26, hi: 54 },
  'chain.slack': { label: 'Joint slack (new 0.6, worn 1.5)', step: 0.05, lo: 0.2, hi: 2.5 },
  'load.torque': { label: 'Torque at the cranks', step: 5, lo: 0, hi: 120 },
  'tyre.width': { label: 'Tyre width', step: 1, lo: 20, hi: 90 },
};

const clusters = {
  '12-speed, 10-51': '10, 12, 14, 16, 18, 21, 24, 28, 32, 38, 44, 51',
  '12-speed, 11-50': '11, 13, 15, 17, 19, 21, 24, 28, 32, 36, 42, 50',
  '11-speed, 11-42': '11, 13, 15, 17, 19, 21, 24, 28, 32, 37, 42',
  '11-speed, 11-34': '11, 13, 15, 17, 19, 21, 23, 25, 27, 30, 34',
  '10-speed, 11-36': '11, 13, 15, 17, 19, 21, 24, 28, 32, 36',
  '9-speed, 11-34': '11, 13, 15, 17, 20, 23, 26, 30, 34',
};

let now, past = [], future = [], view = { direction: 'riding', ring: 0, cog: 0, azimuth: -25, height: 25 };
let windowTimer = 0, dash = 0, step = -1;

// One request is with the engine, and the newest waits behind it: a newer one takes the
// place of one that waits, and of one with the engine that takes longer.
let out = null, waiting = null;
function engine(request) {
  return new Promise((resolve) => {
    waiting?.resolve({ superseded: true });
    waiting = { request, resolve };
    if (out?.request.window) door.stop();
    next();
  });
}

async function next() {
  const quick = [out, waiting].some((r) => r && !r.request.window);
  document.documentElement.dataset.busy = quick ? 'yes' : 'no';
  if (out || !waiting) return;
  const mine = out = waiting;
  waiting = null;
  const a = await door.ask(mine.request);
  out = null;
  mine.resolve(a);
  next();
}

function say(words) {
  $('message').hidden = !words;
  $('message').textContent = words || '';
}

// compute asks the engine for a case; on a mistake the last good one stays. Edits that
// are not answered yet go along with the next. A stroke is one action to undo, however
// many requests it makes; 'undo', 'redo' and 'first' are none.
let asked = null, last = null;
async function compute(yaml, edits = [], stroke = Symbol('stroke')) {
  const begun = performance.now();
  if (edits.length && asked?.yaml === yaml) edits = [...asked.edits.filter((e) => !edits.some((f) => f.path === e.path)), ...edits];
  const mine = asked = { yaml, edits };
  const a = await engine({ op: 'compute', yaml, edits });
  if (asked === mine) asked = null;
  if (a.superseded) return false;
  if (a.error) {
    say(a.error);
    return false;
  }
  say('');
  if (stroke === 'undo') { future.push(now.yaml); past.pop(); }
  else if (stroke === 'redo') { past.push(now.yaml); future.pop(); }
  else if (stroke !== 'first' && stroke !== last && now) { past.push(now.yaml); future = []; }
  last = stroke;
  now = a;
  document.documentElement.dataset.whole = 'no'; // until the chances are there
  draw();
  window.chainpathLast = performance.now() - begun;
  clearTimeout(windowTimer);
  windowTimer = setTimeout(drawWindow, 150);
  return true;
}

// tell learns from what is seen, or from what is left when one of it goes: one after the
// other, so that nothing tapped is lost.
let telling = Promise.resolve();
function tell(more) {
  telling = telling.then(async () => {
    let a;
    do a = await engine({ op: 'learn', yaml: now.yaml, ...more }); while (a.superseded);
    if (a.error) { say(a.error); return; }
    while (!await compute(a.yaml)) if (!$('message').hidden) return; // something newer came between
    lessonSaid(a.learned);
  });
}

async function drawWindow() {
  if (asked) return; // its answer comes here again
  const a = await engine({ op: 'compute', yaml: now.yaml, window: true });
  if (a.superseded) return;
  bars($('window'), a.error ? null : a.window);
  lineMap($('map'), a.error ? null : a.window);
  $('along').textContent = a.error ? '' : bestWords(a.window);
  if (a.error || a.yaml !== now.yaml) return;
  now.document = a.document; // with chances, which take longer
  answer(now.document);
  verdict(now.document.gears[gearIndex()]);
  table(now.document);
  document.documentElement.dataset.whole = 'yes';
}

// bestWords says where the ring would have the least trouble between the walls.
function bestWords(w) {
  const at = (line) => w.along.places.reduce((a, b) => (Math.abs(b.front_line_mm - line) < Math.abs(a.front_line_mm - line) ? b : a)).trouble;
  if (w.along.best_mm === null) return 'Chainstay and tyre leave the ring no place.';
  const today = at(w.lines.front_mm), best = at(w.along.best_mm);
  if (best > 0.9 * today) return `No place between the walls has less trouble than today's (${today.toFixed(2)}).`;
  return `Least trouble at ${w.along.best_mm.toFixed(1)} mm: ${best.toFixed(2)} against ${today.toFixed(2)} today.`;
}

// answer says what is to be expected of the bicycle; chances come after a moment.
function answer(doc) {
  const a = doc.answer;
  $('answer').textContent = a ? `${a.words} ${a.usual ? a.usual.words : ''}` : '';
}

function gearIndex() {
  return now.document.gears.findIndex((g) => g.ring_teeth === view.ring && g.cog_teeth === view.cog);
}

function draw() {
  const doc = now.document, rings = [...new Set(doc.gears.map((g) => g.ring_teeth))], cogs = [...new Set(doc.gears.map((g) => g.cog_teeth))];
  if (!rings.includes(view.ring)) view.ring = rings[rings.length - 1];
  if (!cogs.includes(view.cog)) view.cog = cogs[cogs.length - 1];
  options($('ring'), rings, view.ring);
  options($('cog'), cogs, view.cog);
  $('ring-label').hidden = rings.length < 2;
  $('direction').value = view.direction;
  $('title').textContent = `${doc.case}: front line ${doc.lines.front_mm.toFixed(1)} mm, rear line ${doc.lines.rear_mm.toFixed(1)} mm`;
  $('undo').disabled = past.length === 0;
  $('redo').disabled = future.length === 0;
  $('yaml').value = now.yaml;
  sliders();
  drawLearn(doc, now.seen);
  answer(doc);
  chart($('chart'), doc, view.ring, view.direction, view.cog);
  verdict(doc.gears[gearIndex()]);
  above($('above'), now.shape, doc.lines, doc.gears, view.ring, view.cog);
  dash = side($('side'), now.shape, gearIndex());
  inSpace($('space'), now.shape, gearIndex(), view.azimuth, view.height);
  table(doc);
  $('note').textContent = `${doc.model.level_1}. ${doc.model.level_2}. ${doc.model.note}`;
}

function options(select, values, chosen) {
  const words = values.map(String);
  if ([...select.options].map((o) => o.value).join() !== words.join()) {
    select.replaceChildren(...words.map((v) => new Option(v, v)));
  }
  select.value = String(chosen);
}

// sliders makes the controls once, and then keeps their values.
function sliders() {
  const box = $('sliders'), wanted = now.inputs.map((i) => i.path).join();
  if (box.dataset.paths !== wanted) {
    box.dataset.paths = wanted;
    box.replaceChildren(...now.inputs.map(control));
  }
  for (const i of now.inputs) {
    if (asked?.edits.some((e) => e.path === i.path)) continue; // it is on its way
    const id = i.path.replace(/\W/g, '-');
    for (const e of [$(`${id}-range`), $(`${id}-number`)]) if (document.activeElement !== e || e.type === 'range') e.value = i.value;
  }
}

function control(i) {
  const m = measures[i.path], id = i.path.replace(/\W/g, '-'), div = document.createElement('div');
  div.className = 'measure';
  const label = document.createElement('label');
  label.htmlFor = `${id}-range`;
  label.textContent = `${m.label}, ${i.unit}`;
  const range = Object.assign(document.createElement('input'), { type: 'range', id: `${id}-range`, min: Math.min(m.lo, i.value), max: Math.max(m.hi, i.value), step: m.step, value: i.value });
  const number = Object.assign(document.createElement('input'), { type: 'number', id: `${id}-number`, min: i.lo, max: i.hi, step: 'any', value: i.value });
  number.setAttribute('aria-label', `${m.label} in ${i.unit}, as a number`);
  const about = document.createElement('small');
  about.textContent = i.doc;
  about.id = `${id}-about`;
  range.setAttribute('aria-describedby', about.id);
  // While a slider moves, the undo stack keeps only where it began.
  let stroke = Symbol('stroke');
  range.addEventListener('input', () => { number.value = range.value; compute(now.yaml, [{ path: i.path, value: range.value }], stroke); });
  range.addEventListener('change', () => { stroke = Symbol('stroke'); });
  number.addEventListener('change', () => compute(now.yaml, [{ path: i.path, value: number.value }]));
  const pair = document.createElement('div');
  pair.className = 'pair';
  pair.append(range, number);
  div.append(label, pair, about);
  return div;
}

function verdict(g) {
  const box = $('verdict');
  box.replaceChildren(...g.verdicts.filter((v) => v.direction === view.direction).map((v) => {
    const p = document.createElement('p'), b = document.createElement('strong');
    b.textContent = `${g.ring_teeth}/${g.cog_teeth} ${v.words}: `;
    p.append(b, `${v.reason}.`);
    if (['may_climb', 'drop_riding', 'drop_backwards', 'cannot_close'].includes(v.code)) p.className = 'bad';
    return p;
  }));
}

function table(doc) {
  const cell = (words, head) => Object.assign(document.createElement(head ? 'th' : 'td'), { textContent: words });
  const row = (cells, head) => { const r = document.createElement('tr'); r.append(...cells.map((c) => cell(c, head))); return r; };
  const mm = (v) => (v === null ? '–' : v.toFixed(2));
  const rows = doc.gears.map((g) => {
    const words = (d) => g.verdicts.filter((v) => v.direction === d).map((v) => v.words).join(', ');
    const c = g.clearances;
    const r = row([g.ring_teeth, g.cog_teeth, g.ratio.toFixed(2), mm(g.top.bend_deg), mm(g.bottom.bend_deg), mm(c.next_cog_mm), mm(c.tyre_mm), mm(c.stay_mm), g.loss && g.loss.loss_percent !== null ? g.loss.loss_percent.toFixed(1) : '–', words('riding'), words('backwards')]);
    if (g.ring_teeth === view.ring && g.cog_teeth === view.cog) r.className = 'on';
    return r;
  });
  const head = document.createElement('thead'), body = document.createElement('tbody');
  head.append(row(['ring', 'cog', 'ratio', 'top °', 'bottom °', 'next cog mm', 'tyre mm', 'stay mm', 'loss %', 'riding', 'pedalled backwards'], true));
  body.append(...rows);
  $('gears').replaceChildren(head, body);
}

// Links carry the case in the fragment, which no server sees.
function fragment(yaml) {
  const bytes = new TextEncoder().encode(yaml);
  let s = '';
  for (const b of bytes) s += String.fromCharCode(b);
  return '#case=' + btoa(s).replace(/\+/g, '-').replace(/\//g, '_').replace(/=+$/, '');
}

function fromFragment(hash) {
  const m = /^#case=([A-Za-z0-9_-]*)$/.exec(hash);
  if (!m) throw new Error('the link holds no case');
  const s = atob(m[1].replace(/-/g, '+').replace(/_/g, '/'));
  return new TextDecoder('utf-8', { fatal: true }).decode(Uint8Array.from(s, (c) => c.charCodeAt(0)));
}

async function shipped(name) { return (await engine({ op: 'text', name })).yaml; }

// readLink takes the case from the address; what is wrong with it is said, and the
// first shipped case stands in.
async function readLink() {
  if (location.hash.length < 2) return false;
  try {
    return await compute(fromFragment(location.hash), [], now ? undefined : 'first');
  } catch (e) {
    say(`the link cannot be read: ${e.message}`);
    return false;
  }
}

async function lessonTo(k) {
  step = k;
  $('lesson-box').hidden = k < 0;
  if (k < 0) { $('lesson').focus(); return; }
  const s = lesson[k];
  $('lesson-title').textContent = s.title;
  $('lesson-text').textContent = s.text;
  $('lesson-at').textContent = `${k + 1} of ${lesson.length}`;
  $('lesson-back').disabled = k === 0;
  $('lesson-next').textContent = k + 1 === lesson.length ? 'Finish' : 'Next';
  const yaml = await shipped('trail');
  if (step !== k || yaml === undefined) return; // gone on meanwhile
  view.cog = s.cog;
  view.direction = s.direction || 'riding';
  await compute(yaml, s.edits.map(([path, value]) => ({ path, value })), k === 0 ? undefined : last);
}

// turn moves the chain at a calm pace, forwards or backwards; with reduced motion
// asked for it goes on by one link a second.
const calm = matchMedia('(prefers-reduced-motion: reduce)');
let playing = false, shift = 0, before = 0, whole = 0;
function turn(t) {
  if (!playing) return;
  const dt = Math.min((t - before) / 1000, 0.1);
  before = t;
  const way = view.direction === 'riding' ? -1 : 1;
  if (calm.matches) {
    whole += dt;
    if (whole >= 1) { whole = 0; shift += way * dash / 2; }
  } else shift += way * dash * 0.9 * dt;
  shift %= dash * 1000;
  document.getElementById('moving')?.setAttribute('stroke-dashoffset', shift.toFixed(2));
  requestAnimationFrame(turn);
}

async function wire() {
  wireLearn(tell);
  const list = await engine({ op: 'shipped' });
  if (list.error) throw new Error(list.error);
  $('shipped').replaceChildren(...list.cases.map((c) => new Option(c.title, c.name)));
  $('shipped').addEventListener('change', async (e) => { const yaml = await shipped(e.target.value); if (yaml !== undefined) compute(yaml); });
  $('cluster').replaceChildren(new Option('as in the case', ''), ...Object.keys(clusters).map((k) => new Option(k, k)));
  $('cluster').addEventListener('change', async (e) => {
    const k = e.target.value;
    if (k && !await compute(now.yaml, [{ path: 'speeds', value: k.split('-')[0] }, { path: 'rear.cogs', value: clusters[k] }])) e.target.value = '';
  });
  $('direction').addEventListener('change', (e) => { view.direction = e.target.value; draw(); });
  $('ring').addEventListener('change', (e) => { view.ring = Number(e.target.value); draw(); });
  $('cog').addEventListener('change', (e) => { view.cog = Number(e.target.value); draw(); });
  $('undo').addEventListener('click', () => { if (past.length && !asked) compute(past.at(-1), [], 'undo'); });
  $('redo').addEventListener('click', () => { if (future.length && !asked) compute(future.at(-1), [], 'redo'); });
  $('apply').addEventListener('click', () => compute($('yaml').value));
  $('open').addEventListener('change', async (e) => { const f = e.target.files[0]; if (f) compute(await f.text()); e.target.value = ''; });
  $('save').addEventListener('click', () => {
    const a = Object.assign(document.createElement('a'), { href: 'data:text/yaml;charset=utf-8,' + encodeURIComponent(now.yaml), download: 'case.yaml' });
    a.click();
  });
  $('share').addEventListener('click', async () => {
    history.replaceState(null, '', fragment(now.yaml));
    try { await navigator.clipboard.writeText(location.href); $('share').textContent = 'Link copied'; } catch { $('share').textContent = 'Link is in the address'; }
    setTimeout(() => { $('share').textContent = 'Copy link'; }, 2000);
  });
  $('print').addEventListener('click', () => print());
  $('lesson').addEventListener('click', () => { lessonTo(0); $('lesson-next').focus(); });
  $('lesson-back').addEventListener('click', () => lessonTo(step - 1));
  $('lesson-next').addEventListener('click', () => lessonTo(step + 1 < lesson.length ? step + 1 : -1));
  $('lesson-end').addEventListener('click', () => lessonTo(-1));
  $('play').addEventListener('click', () => {
    playing = !playing;
    $('play').setAttribute('aria-pressed', String(playing));
    $('play').textContent = playing ? 'Stop the cranks' : 'Turn the cranks';
    if (playing) { before = performance.now(); requestAnimationFrame(turn); }
  });
  const space = $('space');
  const turned = (a, h) => { view.azimuth = (view.azimuth + a) % 360; view.height = Math.max(-89, Math.min(89, view.height + h)); inSpace(space, now.shape, gearIndex(), view.azimuth, view.height); };
  space.addEventListener('keydown', (e) => {
    const k = { ArrowLeft: [-5, 0], ArrowRight: [5, 0], ArrowUp: [0, 5], ArrowDown: [0, -5] }[e.key];
    if (k) { turned(...k); e.preventDefault(); }
  });
  space.addEventListener('pointerdown', (e) => space.setPointerCapture(e.pointerId));
  space.addEventListener('pointermove', (e) => { if (e.buttons) turned(e.movementX * 0.5, e.movementY * 0.5); });
  addEventListener('hashchange', readLink);
  let wide = innerWidth;
  addEventListener('resize', () => { if (innerWidth !== wide) { wide = innerWidth; draw(); drawWindow(); } });
}

async function start() {
  try {
    await door.open();
    await wire();
  } catch (e) {
    $('title').textContent = 'The engine could not be loaded.';
    say(`The engine could not be loaded: ${e.message}`);
    return;
  }
  if (!await readLink()) {
    const words = $('message').textContent;
    $('shipped').value = 'trail';
    await compute(await shipped('trail'), [], 'first');
    if (words) say(words);
  }
  // For tests and the curious: what the page knows.
  window.chainpathPage = { get document() { return now.document; }, get yaml() { return now.yaml; }, engine, ask: door.ask };
  document.documentElement.dataset.ready = 'yes';
}

start();
