// The page: it keeps the case as YAML, asks the engine, and draws what it answers, first
// coarsely and then, while nothing is touched, whole.

import { drawFigure, wireHandle, bare, figureTable } from './figure.js';
import { bars, lineMap, barTable, mapTable } from './line.js';
import { above, side, spin } from './views.js';
import { wireBike, drawBike } from './bike.js';
import { drawHelp, drawNext, drawDiagnosis } from './help.js';
import { wireLearn, drawLearn, lessonSaid } from './learn.js';
import { wireTeach, asked as askedOfClass } from './teach.js';
import { wirePredict, opened } from './predict.js';
import { verdicts, gearTable, shiftTable } from './table.js';
import { shiftFigure } from './shifting.js';
import { reportOf } from './report.js';
import { stamp, aged } from './stamp.js';
import { setHazards, said, step, onPage } from './hazards.js';
import { fragment, fromFragment, keep, kept, forget, download } from './store.js';
import { engine, surely, idle } from './queue.js';
import * as door from './door.js';

const $ = (id) => document.getElementById(id);

// now is what the engine said last; figure, map and help come later than the rest.
let now = null, windowed = null, shifting = null, helped = {}, before = null, past = [], future = [];
let figure = null, settled = null; // as it is drawn, and as it was answered
let catalogue = '', stage = null, scale = null, dash = 0;
let drawn = null; // what somebody expects of a lesson's bike
const view = { show: 'both', ring: 0, cog: 0 };

function say(words) {
  $('message').hidden = !words;
  $('message').textContent = words || '';
}

const whole = (is) => { document.documentElement.dataset.whole = is ? 'yes' : 'no'; document.documentElement.dataset.all = 'no'; };

// compute asks the engine for a case; on a mistake the last good one stays. Edits that are not
// answered yet go along with the next. A stroke is one action to undo, however many requests it
// makes; 'undo', 'redo' and 'first' are none.
let asked = null, last = null, later = 0;
let resting = null; // what was shown before a dimension began to move
async function compute(yaml, edits = [], stroke = Symbol('stroke')) {
  const begun = performance.now();
  if (edits.length && asked?.yaml === yaml) edits = [...asked.edits.filter((e) => !edits.some((f) => f.path === e.path)), ...edits];
  const mine = asked = { yaml, edits };
  const was = resting;
  resting = null;
  const a = await engine({ op: 'compute', yaml, edits, drag: edits.length === 1 && slides.includes(edits[0].path), ...spaceToo() });
  if (asked === mine) asked = null;
  if (a.superseded) return false;
  if (a.error) {
    say(a.error);
    if (was) { now = was.now; settled = was.settled; }
    if (now) { figure = settled; draw(); } // a thumb does not stay at a refused place
    again();
    return false;
  }
  say('');
  await take(a, stroke);
  window.chainpathLast = performance.now() - begun;
  return true;
}

// slide shows what the engine says while a dimension is moved; the case at hand stays as it is until it is let go of.
async function slide(edit) {
  const yaml = now.yaml, begun = performance.now();
  resting ??= { now, settled };
  clearTimeout(later);
  const a = await engine({ op: 'drag', yaml, edits: [edit], ...spaceToo() });
  if (a.superseded || !resting) return;
  if (a.error) { say(a.error); return; }
  say('');
  now = { ...now, document: a.document, shape: a.shape, figure: a.figure, came: false };
  settled = figure = a.figure;
  aged(`${yaml}, dragged`);
  stamp(yaml, 'headline-of');
  headline(now.document, now.warnings || []);
  drawOne();
  verdict();
  if (a.space) seeSpace(a.space);
  requestAnimationFrame(() => { if (now.figure === a.figure) { titled(); drawViews(); } });
  window.chainpathLast = performance.now() - begun;
}

// take makes an answer the case at hand; what it returns is there when the page has begun.
function take(a, stroke) {
  if (stroke === 'undo') { future.push(now.yaml); past.pop(); }
  else if (stroke === 'redo') { past.push(now.yaml); future.pop(); }
  else if (stroke !== 'first' && stroke !== last && now) { past.push(now.yaml); future = []; }
  last = stroke;
  now = a;
  $('advised').textContent = '';
  aged(now.yaml);
  setHazards(a.hazards, a.small);
  whole(false);
  const known = settled;
  settled = figure = a.figure || bare(now.document, now.shape, known);
  if (a.figure) stamp(now.yaml, 'headline-of');
  let first;
  if (document.body.dataset.began !== 'yes') first = drawFirst();
  else {
    settle();
    headline(now.document, now.warnings || []);
    drawOne();
    if (a.space) seeSpace(a.space);
    document.documentElement.dataset.drawn = 'no';
    requestAnimationFrame(() => setTimeout(() => { if (now === a) draw(); })); // the chart is seen first
  }
  keep({ yaml: now.yaml, before: before?.yaml ?? null });
  again();
  return first;
}

// again lets the rest be asked for when nothing was touched for a moment.
function again() {
  clearTimeout(later);
  later = setTimeout(refine, 150);
}

// refine asks for what takes longer, one after the other, until something newer is asked.
async function refine() {
  if (asked || resting) return; // its answer comes here again
  if (!idle()) { again(); return; }
  const mine = now, yaml = now.yaml;
  const stages = [ // the first two are there already where the answer came with the page
    [{ op: 'compute', yaml, chances: true }, (a) => {
      now.document = a.document; // with chances
      settled = figure = a.figure;
      headline(a.document, a.warnings || []);
      stamp(yaml, 'headline-of');
      drawOne();
      verdict();
      if ($('space-box').open) seeSpace();
      gearTable($('gears'), now.document, view.ring, view.cog);
    }],
    [{ op: 'compute', yaml, window: true, quick: true }, (a) => { windowed = a.window; drawWindow(); stamp(yaml, 'map-of', 'window-of'); }],
    ...(before ? [[{ op: 'compare', before: before.yaml, yaml }, (a) => { $('compared').textContent = a.error ? a.error : a.said.join(' '); stamp(yaml, 'compared-of'); }]] : []),
    [{ op: 'parts', yaml, catalogue }, (a) => { helped = a; drawHelp(a, tryIt); stamp(yaml, 'help-of'); }],
    [{ op: 'next', yaml }, (a) => { drawNext(a); stamp(yaml, 'next-of'); }],
    [{ op: 'diagnose', yaml }, (a) => { drawDiagnosis(a); stamp(yaml, 'diagnosis-of'); }],
    [{ op: 'shifts', yaml }, (a) => { shifting = a.shifting; drawShifts(); stamp(yaml, 'shifts-of'); }],
  ];
  for (const [i, [request, show]] of stages.entries()) {
    if (i < 2 && now.came) { whole(true); continue; }
    if (!idle()) { again(); return; }
    const a = await engine(request);
    if (now !== mine) return;
    if (a.superseded) { if (!asked) again(); return; } // by a film, which asks for nothing more
    if (a.error && request.op === 'compute') { // then neither chances nor window
      say(a.error);
      saidOf = '';
      verdict();
      windowed = null;
      drawWindow();
      stamp(yaml, 'map-of', 'window-of');
    } else show(a);
    if (i === 1) whole(true);
  }
  document.documentElement.dataset.all = 'yes';
}

// tell learns from what is seen, or from what is left when one of it goes: one after the
// other, so that nothing tapped is lost.
let telling = Promise.resolve();
function tell(more) {
  telling = telling.then(async () => {
    const a = await surely(() => ({ op: 'learn', yaml: now.yaml, ...more }));
    if (a.error) { say(a.error); return; }
    while (!await compute(a.yaml)) if (!$('message').hidden) return; // something newer came between
    lessonSaid(a.said);
  });
}

// slides are the dimensions that are shown while they move.
const slides = ['front.line', 'rear.line', 'frame.stay', 'tyre.width'];

// edit asks for a change; of a stroke that is not done yet, where it can be, for what it does alone.
function edit(edits, stroke, done = !stroke) {
  return !done && slides.includes(edits[0].path) ? slide(edits[0]) : compute(now.yaml, edits, stroke);
}

// measure tells a line as it was measured; begin starts a new bike.
async function measure(draft) {
  const a = await surely(() => ({ op: 'measure', yaml: now.yaml, draft }));
  if (a.error) { say(a.error); draw(); return; }
  notes(a.notes);
  await compute(a.yaml);
}

async function begin(draft) {
  const a = await surely(() => ({ op: 'start', draft }));
  if (a.error) { say(a.error); return false; }
  drop();
  catalogue = '';
  const ok = await compute(a.yaml);
  if (ok) { notes(a.notes); $('shipped').value = ''; }
  return ok;
}

function notes(list) {
  $('notes').hidden = !list?.length;
  $('notes').replaceChildren(...(list || []).map((w) => Object.assign(document.createElement('li'), { textContent: w })));
}

// hold keeps what is now as what was before; tryIt does so and takes a card's case.
function hold() { before = { yaml: now.yaml, figure }; showHeld(); }
function drop() { before = null; $('compared').textContent = ''; showHeld(); }
function showHeld() {
  $('hold-drop').hidden = $('legend-before').hidden = !before;
  keep({ yaml: now.yaml, before: before?.yaml ?? null });
  drawOne();
}
function tryIt(yaml) {
  hold();
  compute(yaml);
  $('does').focus({ preventScroll: false });
}

const gearIndex = () => now.document.gears.findIndex((g) => g.ring_teeth === view.ring && g.cog_teeth === view.cog);

// verdict says what becomes of the chosen gear. Until the chances are there what was said of
// it stands, marked as of before.
let saidOf = '';
function verdict() {
  const of = `${view.ring}/${view.cog} ${view.show}`, old = !now.document.answer && saidOf === of;
  $('verdict').dataset.stale = old ? 'yes' : 'no';
  if (old) return;
  saidOf = of;
  verdicts($('verdict'), now.document.gears[gearIndex()], view.show);
}

// headline says what is to be expected of the bicycle; chances come after a moment.
function headline(doc, warnings) {
  const a = doc.answer;
  if (a) {
    $('answer').textContent = stage === null || stage > 1 ? onPage(a.words) : askedOfClass[stage];
    $('usual').textContent = a.usual ? a.usual.words : '';
  }
  $('brakes').textContent = doc.load.caution || '';
  $('warnings').replaceChildren(...warnings.map((w) => Object.assign(document.createElement('li'), { textContent: w })));
}

function drawOne() {
  const held = document.activeElement?.id === 'ring-handle';
  window.chainpathFirst ??= performance.now(); // when there was a chart, for tests
  scale = drawFigure($('chart'), figure, { ...view, before: before && before.yaml !== now.yaml ? before.figure : null, big: stage !== null, stage: drawn?.open ? 0 : stage ?? 2, drawn });
  $('rest').textContent = figure.ways.filter((w) => w.also && (view.show === 'both' || w.direction === view.show)).map((w) => w.also).join(' ');
  $('chart').classList.toggle('predicting', Boolean(drawn?.open));
  if (held) $('ring-handle').focus({ preventScroll: true });
  if ($('chart-numbers').open) views['chart-numbers']();
}

// Views, and the tables behind figures, are drawn when they are open.
const views = {
  'above-box': () => above($('above'), now.shape, now.document.lines, now.document.gears, view.ring, view.cog, Number($('stretch').value)),
  'side-box': () => { dash = side($('side'), now.shape, gearIndex()); },
  'space-box': () => seeSpace(),
  'chart-numbers': () => figureTable($('chart-table'), figure),
  'map-numbers': () => mapTable($('map-table'), windowed),
  'shifts-box': () => { $('shifts-headline').textContent = shifting?.headline || ''; shiftFigure($('shifts-figure'), shifting); },
  'window-box': () => { bars($('window'), windowed); barTable($('window-table'), windowed); },
};

// troubleOf says in which of the directions shown the chosen gear's chain angle is worse, and which of its numbers are
// of trouble, by the chances of figure and document.
function troubleOf(gear) {
  const mine = (w) => w.marks.find((m) => m.ring_teeth === view.ring && m.cog_teeth === view.cog)?.by.chance ?? 0, is = (code) => step(gear.chance?.[code] ?? 0) > 1;
  const worst = figure.ways.filter((w) => view.show === 'both' || w.direction === view.show).reduce((a, b) => (mine(b) > mine(a) ? b : a));
  return { direction: worst.direction, bad: { bend: step(mine(worst)) > 1, tyre: is('rubs_tyre'), stay: is('meets_stay') } };
}

// spaceToo is what asks for the chosen gear in space along with an answer, where it is shown.
const spaceToo = () => ($('space-box').open && space?.canDraw() ? { space: true, ring: view.ring, cog: view.cog } : {});

// seeSpace shows the chosen gear in space, of an answer that came along with another, or of one that it asks for where
// that of before is of another gear or bike; while a change waits for its own, that one brings it.
let spaced = '', asking = '';
let space = null, coming = null; // space.js, which only comes when it is wanted
async function seeSpace(a) {
  if (!space) {
    coming ??= import('./space.js');
    const come = await coming;
    if (!space) { // another waited for it too
      space = come;
      space.wireSpace({ pick, drag, seen: () => views['space-box']() });
    }
  }
  const index = gearIndex(), gear = now.document.gears[index], mine = `${view.ring}/${view.cog} ${now.yaml}`;
  if (a) spaced = `${a.ring}/${a.cog} ${now.yaml}`;
  space.showSpace(a, { shapes: now.shape, index, gear, movable: ['front.line', ...now.inputs.map((i) => i.path)], ...troubleOf(gear) });
  if (a || !space.canDraw()) stamp(now.yaml, 'space-of');
  if (!space.canDraw() || spaced === mine || asking === mine || asked) return;
  asking = mine;
  const got = await engine({ op: 'space', yaml: now.yaml, ring: view.ring, cog: view.cog });
  asking = '';
  if (got.error) say(got.error);
  else if (got.superseded || mine !== `${view.ring}/${view.cog} ${now.yaml}`) setTimeout(() => { if ($('space-box').open) seeSpace(); }, 50);
  else seeSpace(got.space);
}

function drawShifts() {
  shiftTable($('shifts-box'), $('shifts-answer'), $('shifts'), shifting);
  if ($('shifts-box').open) views['shifts-box']();
}

function drawViews() { for (const [id, f] of Object.entries(views)) if ($(id).open) f(); }

function drawWindow() {
  lineMap($('map'), windowed);
  if ($('map-numbers').open) views['map-numbers']();
  $('along').textContent = windowed ? onPage(windowed.answer) : '';
  $('letters').textContent = said('letters');
  if ($('window-box').open) views['window-box']();
}

// settle keeps the chosen gear one that there is.
function settle() {
  const doc = now.document, rings = [...new Set(doc.gears.map((g) => g.ring_teeth))], cogs = [...new Set(doc.gears.map((g) => g.cog_teeth))];
  if (!rings.includes(view.ring)) view.ring = rings[rings.length - 1];
  if (!cogs.includes(view.cog)) view.cog = cogs[cogs.length - 1];
  return [rings, cogs];
}

function titled() {
  const doc = now.document;
  $('title').textContent = `${doc.case}: front chainline ${doc.lines.front_mm.toFixed(1)} mm, rear ${doc.lines.rear_mm.toFixed(1)} mm`;
}

// What is drawn, each piece in a task of its own when the page begins, so that no task is long;
// it is shown when the last is there, so that nothing jumps.
const pieces = [
  () => {
    const [rings, cogs] = settle(), { document: doc } = now;
    options($('ring'), rings, view.ring);
    options($('cog'), cogs, view.cog);
    $('ring-label').hidden = rings.length < 2;
    $('direction').value = view.show;
    titled();
    $('undo').disabled = past.length === 0;
    $('redo').disabled = future.length === 0;
    if (document.activeElement !== $('yaml')) $('yaml').value = now.yaml;
    $('note').textContent = `${doc.model.level_1}. ${doc.model.level_2}. ${doc.model.note}`;
    headline(doc, now.warnings || []);
  },
  () => drawBike(now.bike, now.inputs, asked?.edits),
  () => drawLearn(now.document, now.seen),
  () => gearTable($('gears'), now.document, view.ring, view.cog),
  () => {
    document.body.dataset.began = 'yes';
    drawOne();
    verdict();
    drawViews();
    document.documentElement.dataset.drawn = 'yes';
  },
];

function draw() { for (const piece of pieces) piece(); }

// breath ends a task and goes on in the next; timers would wait where nobody sees the page.
const breath = () => new Promise((r) => { const { port1, port2 } = new MessageChannel(); port1.onmessage = r; port2.postMessage(0); });

async function drawFirst() {
  for (const piece of pieces) {
    piece();
    await breath();
  }
}

function options(select, values, chosen) {
  const words = values.map(String);
  if ([...select.options].map((o) => o.value).join() !== words.join()) select.replaceChildren(...words.map((v) => new Option(v, v)));
  select.value = String(chosen);
}

async function shipped(name) { return (await surely(() => ({ op: 'text', name }))).yaml; }

// readLink takes the case from the address; what is wrong with it is said, and what was worked
// on last, or the first shipped case, stands in.
async function readLink() {
  if (location.hash.length < 2) return false;
  try {
    return await compute(fromFragment(location.hash), [], now ? undefined : 'first');
  } catch (e) {
    say(`the link cannot be read: ${e.message}`);
    return false;
  }
}

// Rings or cogs are dragged from where they stood.
let dragging = null;
function drag(path, by, done) {
  const { front_mm: front, rear_mm: rear } = now.document.lines, rings = path === 'front.line';
  if (!dragging) dragging = { from: rings ? front : rear, stroke: Symbol('stroke') };
  const to = Math.max(20, Math.min(90, dragging.from + by));
  edit([{ path, value: to.toFixed(2) }], dragging.stroke, done);
  if (done) dragging = null;
}

// turn moves the chain at a calm pace, and cranks and wheels with it; with reduced motion asked
// for it goes on by one link a second.
const calm = matchMedia('(prefers-reduced-motion: reduce)');
let playing = false, shift = 0, then = 0, second = 0;
function turn(t) {
  if (!playing) return;
  const dt = Math.min((t - then) / 1000, 0.1);
  then = t;
  const way = view.show === 'backwards' ? 1 : -1;
  if (calm.matches) {
    second += dt;
    if (second >= 1) { second = 0; shift += way * dash / 2; }
  } else shift += way * dash * 0.9 * dt;
  spin(shift);
  requestAnimationFrame(turn);
}

// film runs the chosen gear link by link; where the space shows that gear of that bike, it shows the film too. What
// draws it comes when it is wanted.
let filmed = '', screen = null;
async function film() {
  $('film-run').disabled = true;
  screen ??= import('./film.js').then((come) => {
    come.wireFilm((f, frame) => { if (filmed === spaced) space?.showFilm(f, frame); });
    return come;
  });
  const { setFilm } = await screen;
  const q = { op: 'march', yaml: now.yaml, ring: view.ring, cog: view.cog, backwards: view.show !== 'riding' };
  const a = await surely(() => q);
  $('film-run').disabled = false;
  if (a.error) { say(a.error); setFilm(null); return; }
  filmed = `${q.ring}/${q.cog} ${q.yaml}`;
  setFilm(a.film);
  stamp(q.yaml, 'film-of');
  aged(now.yaml);
}

// What a lesson needs of the page.
const lessonSteps = {
  async set(s, first) {
    const yaml = await shipped('trail');
    if (yaml === undefined) return;
    view.cog = s.cog;
    view.show = s.direction || 'both';
    drawn = s.draw ? opened() : null;
    if (first) drop();
    await compute(yaml, s.edits.map(([path, value]) => ({ path, value })), first ? undefined : last);
    if (s.hold) hold();
    if (s.film) await film();
  },
  async whole() {
    if (drawn) drawn.open = false;
    while (document.documentElement.dataset.whole !== 'yes') await new Promise((r) => setTimeout(r, 50));
    drawOne();
    return [now.document, drawn];
  },
  end() { drawn = null; drawOne(); },
  async answers(steps) {
    const yaml = await shipped('trail'), out = [];
    for (const s of steps) out.push((await surely(() => ({ op: 'compute', yaml, edits: s.edits.map(([path, value]) => ({ path, value })), chances: true }))).document);
    again();
    return out;
  },
  stage(n) {
    stage = n;
    headline(now.document, []);
    drawOne();
  },
};

function report() {
  const text = reportOf({
    title: $('title').textContent, answer: $('answer').textContent, usual: $('usual').textContent, seen: (now.seen || []).map((s) => s.replaceAll('_', ' ')),
    helped, care: document.querySelector('#views .care').outerHTML, bike: now.bike, figure: $('chart').innerHTML, gears: $('gears').outerHTML, note: $('note').textContent, date: new Date().toISOString().slice(0, 10),
  });
  download('report.html', 'text/html', text);
}

const pick = (cog) => { view.cog = cog; draw(); };

async function wire() {
  wireLearn(tell);
  wireBike({ edit, measure, begin, sheet });
  $('film-run').addEventListener('click', film);
  wireHandle($('chart'), () => scale, (by, done) => { drag('front.line', by, done); if (done) $('ring-handle')?.focus({ preventScroll: true }); }, pick);
  wirePredict($('chart'), () => drawn, () => scale, () => figure.cogs, drawOne);
  const list = await engine({ op: 'shipped' });
  if (list.error) throw new Error(list.error);
  wireTeach(lessonSteps, list.lessons);
  $('shipped').replaceChildren(new Option('your own', ''), ...list.cases.map((c) => new Option(c.title, c.name)));
  $('shipped').addEventListener('change', async (e) => {
    if (!e.target.value) return;
    const yaml = await shipped(e.target.value);
    drop();
    notes([]);
    if (yaml !== undefined) compute(yaml);
  });
  for (const [id, f] of Object.entries({
    direction: (v) => { view.show = v; }, ring: (v) => { view.ring = Number(v); }, cog: (v) => { view.cog = Number(v); },
  })) $(id).addEventListener('change', (e) => { f(e.target.value); draw(); });
  for (const [id, f] of Object.entries({
    undo: () => { if (past.length && !asked) compute(past.at(-1), [], 'undo'); },
    redo: () => { if (future.length && !asked) compute(future.at(-1), [], 'redo'); },
    apply: () => compute($('yaml').value),
    save: () => download('case.yaml', 'text/yaml', now.yaml),
    print: () => print(),
    report,
    hold,
    'hold-drop': drop,
    'catalogue-drop': () => { catalogue = ''; $('catalogue-drop').hidden = true; refine(); },
    forget: () => { forget(); $('forget').textContent = 'forgotten'; },
  })) $(id).addEventListener('click', f);
  $('open').addEventListener('change', async (e) => { const f = e.target.files[0]; if (f && await compute(await f.text())) $('shipped').value = ''; e.target.value = ''; });
  $('catalogue').addEventListener('change', async (e) => {
    const f = e.target.files[0];
    if (f) { catalogue = await f.text(); $('catalogue-drop').hidden = false; refine(); }
    e.target.value = '';
  });
  $('share').addEventListener('click', async () => {
    history.replaceState(null, '', fragment(now.yaml));
    try { await navigator.clipboard.writeText(location.href); $('share').textContent = 'Link copied'; } catch { $('share').textContent = 'Link is in the address'; }
    setTimeout(() => { $('share').textContent = 'Copy link'; }, 2000);
  });
  $('play').addEventListener('click', () => {
    playing = !playing;
    $('play').setAttribute('aria-pressed', String(playing));
    $('play').textContent = playing ? 'Stop the cranks' : 'Turn the cranks';
    if (playing) { then = performance.now(); requestAnimationFrame(turn); }
  });
  $('stretch').addEventListener('change', drawViews);
  for (const id of Object.keys(views)) $(id).addEventListener('toggle', drawViews);
  for (const tab of ['bike', 'does', 'would', 'views']) $(`tab-${tab}`).addEventListener('click', () => sheet(tab));
  addEventListener('hashchange', readLink);
  setTimeout(() => { // what is wanted later needs no network then
    Promise.all([import('./film.js'), import('./space.js')]).then(() => { document.documentElement.dataset.later = 'yes'; }, () => {});
  }, 3000);
  let wide = innerWidth;
  addEventListener('resize', () => { if (innerWidth !== wide && now) { wide = innerWidth; draw(); if (windowed) drawWindow(); } });
}

// sheet shows one of the sheets on a narrow screen; the figure stays above it.
function sheet(tab) {
  document.body.dataset.sheet = tab;
  for (const t of ['bike', 'does', 'would', 'views']) $(`tab-${t}`).setAttribute('aria-pressed', String(t === tab));
  drawViews();
}

// painted waits until the first picture is on the screen, where the browser tells, and for a
// moment where it does not: what is loaded next would take its time from it.
const painted = () => new Promise((r) => {
  const known = globalThis.PerformanceObserver?.supportedEntryTypes?.includes('largest-contentful-paint');
  setTimeout(r, known ? 2000 : 80);
  if (known) new PerformanceObserver((l) => { if (l.getEntries().some((e) => $('headline').contains(e.element))) r(); }).observe({ type: 'largest-contentful-paint', buffered: true });
});

async function start() {
  sheet('does');
  const first = await door.first(); // what an exported page can show before its engine is there
  const work = kept();
  const shown = first && location.hash.length < 2 && !work;
  if (shown) {
    first.came = true; // whole as it is
    windowed = first.window;
    stamp(first.yaml, 'headline-of', 'map-of', 'window-of');
    await take(first, 'first');
    clearTimeout(later);
    setTimeout(drawWindow);
    document.documentElement.dataset.first = 'yes';
    await painted();
  }
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
    let ok = false;
    if (work?.yaml) {
      if (work.before) {
        const a = await surely(() => ({ op: 'compute', yaml: work.before, chances: true }));
        if (!a.error) before = { yaml: work.before, figure: a.figure };
      }
      ok = await compute(work.yaml, [], 'first');
      if (ok) showHeld(); else before = null;
    }
    if (!ok) $('shipped').value = 'trail';
    if (!ok && shown) again();
    else if (!ok) await compute(await shipped('trail'), [], 'first');
    if (words) say(words);
  }
  // For tests and the curious: what the page knows.
  window.chainpathPage = { get document() { return now.document; }, get yaml() { return now.yaml; }, get figure() { return figure; }, get before() { return before; }, engine, ask: door.ask, get space() { return space ? space.known : {}; } };
  document.documentElement.dataset.ready = 'yes';
}

start();
