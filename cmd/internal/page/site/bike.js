// Entering a bicycle: rings and cogs by tapping, lines typed where they are measured, the rest
// as fields; no YAML is needed.

import { el, text, picture, put } from './svg.js';

const $ = (id) => document.getElementById(id);

// What the sliders move: label, step, and the range that makes sense beside the one that the
// engine allows.
const measures = {
  'front.line': { label: 'Front chainline', step: 0.25, lo: 35, hi: 65 },
  'frame.stay': { label: 'Chainstay length', step: 1, lo: 390, hi: 480 },
  'rear.line': { label: 'Rear chainline (hub and spacing)', step: 0.25, lo: 38, hi: 56 },
  'front.rings[0]': { label: 'Chainring', step: 2, lo: 26, hi: 54 },
  'chain.slack': { label: 'Side play (new 0.6, worn 1.5)', step: 0.05, lo: 0.2, hi: 2.5 },
  'load.torque': { label: 'Torque at the cranks', step: 5, lo: 0, hi: 120 },
  'tyre.width': { label: 'Tyre width', step: 1, lo: 20, hi: 90 },
};

const fields = {
  'tyre.size': 'Tyre, as printed on it', 'chainstay.gap': 'Largest chainring to the chainstay', 'front.form': "Chainring's teeth", 'rear.drive': 'Single cog',
  'tensioner.guide_teeth': 'Guide pulley, teeth', 'tensioner.tension_teeth': 'Tension pulley, teeth', 'tensioner.cage': 'Cage, pulley to pulley', 'frame.drop': 'Bottom bracket drop', 'load.cadence': 'Cadence',
};

// What is chosen from a list: value and words.
const choices = {
  'front.form': [['', 'not known'], ['wide_narrow', 'narrow-wide'], ['plain', 'all alike']],
  'rear.drive': [['', 'freewheel'], ['fixed', 'fixed'], ['coaster', 'coaster brake']],
};

let go, chosen = null, bike = null; // go: what main gives

const cassette = (cogs) => `${cogs.length}-speed, ${cogs[0]}-${cogs.at(-1)}`;

// wireBike makes the controls once. to: edit(edits, stroke, done), measure(draft), begin(draft), sheet(name).
export function wireBike(to) {
  go = to;
  $('cluster').addEventListener('change', async (e) => {
    const cogs = bike.cassettes.find((c) => cassette(c) === e.target.value);
    e.target.value = '';
    if (cogs) await go.edit([{ path: 'speeds', value: String(cogs.length) }, { path: 'rear.cogs', value: cogs.join(', ') }]);
  });
  $('teeth').addEventListener('change', (e) => setTeeth(Number(e.target.value)));
  $('teeth-less').addEventListener('click', () => setTeeth(now() - 1));
  $('teeth-more').addEventListener('click', () => setTeeth(now() + 1));
  $('teeth-out').addEventListener('click', () => change((list) => list.toSpliced(chosen.at, 1)));
  $('ring-add').addEventListener('click', () => put1('rings', Math.min(120, Math.max(...bike.rings) + 12)));
  $('cog-add').addEventListener('click', () => put1('cogs', Math.min(120, Math.round(Math.max(...bike.cogs) * 1.13) + 1)));
  $('tensioner').addEventListener('change', (e) => go.edit([{ path: 'tensioner', value: e.target.checked ? '{}' : '' }]));
  $('new').addEventListener('click', () => {
    begin(true);
    go.sheet('bike');
    $('start').scrollIntoView({ block: 'start' });
    $('start-rings').focus({ preventScroll: true });
  });
  $('start-cancel').addEventListener('click', () => { begin(false); $('new').focus(); });
  $('start').addEventListener('submit', async (e) => {
    e.preventDefault();
    const draft = Object.fromEntries(['title', 'rings', 'cogs', 'front', 'rear', 'stay', 'form', 'tyre'].map((k) => [k, $(`start-${k}`).value.trim()]));
    if (await go.begin(draft)) begin(false);
  });
}

// begin shows the form of a new bike, or puts it away; on a phone it stands alone.
function begin(on) {
  $('start').hidden = !on;
  document.body.toggleAttribute('data-begin', on);
}

const now = () => bike[chosen.of][chosen.at];

function put1(of, teeth) { chosen = { of, at: bike[of].length }; write(of, [...bike[of], teeth]); }

function setTeeth(n) { if (chosen) change((list) => list.with(chosen.at, n)); }

function change(f) { write(chosen.of, f(bike[chosen.of])); }

// write gives rings or cogs to the engine, smallest first; with one cog more or less, what
// speeds the chain is made for is told anew only where it was told.
function write(of, list) {
  const sorted = [...list].sort((a, b) => a - b);
  if (of === 'cogs' && sorted.length > bike.cogs.length) return go.edit([{ path: 'speeds', value: '' }, { path: 'rear.cogs', value: sorted.join(', ') }]);
  return go.edit([{ path: of === 'rings' ? 'front.rings' : 'rear.cogs', value: sorted.join(', ') }]);
}

// drawBike shows what the bicycle is.
export function drawBike(b, inputs, pending) {
  bike = b;
  if ($('cluster').options.length !== b.cassettes.length + 1) {
    $('cluster').replaceChildren(new Option('choose…', ''), ...b.cassettes.map((c) => new Option(cassette(c))));
  }
  keys('rings', b.rings);
  keys('cogs', b.cogs);
  if (chosen && chosen.at >= b[chosen.of].length) chosen = null;
  $('teeth-row').hidden = !chosen;
  if (chosen) {
    $('teeth-of').textContent = chosen.of === 'rings' ? 'chainring, teeth' : 'cog, teeth';
    if (document.activeElement !== $('teeth')) $('teeth').value = now();
    $('teeth-out').disabled = b[chosen.of].length === 1;
  }
  $('tensioner').checked = b.tensioner;
  $('tensioner-label').hidden = b.rings.length * b.cogs.length > 1; // with more than one gear there is one
  $('ring-add').disabled = b.rings.length >= 3;
  $('cog-add').disabled = b.cogs.length >= 13;
  drawings(b);
  sliders(inputs, pending);
  typed(b);
}

function keys(of, list) {
  const held = document.activeElement?.id;
  $(of).replaceChildren(...list.map((teeth, at) => {
    const k = Object.assign(document.createElement('button'), { type: 'button', textContent: teeth, id: `${of}-${at}` });
    const on = chosen && chosen.of === of && chosen.at === at;
    k.setAttribute('aria-pressed', String(Boolean(on)));
    k.setAttribute('aria-label', `${teeth}-tooth ${of === 'rings' ? 'chainring' : 'cog'}`);
    k.addEventListener('click', () => { chosen = on ? null : { of, at }; drawBike(bike, null, null); });
    return k;
  }));
  if (held?.startsWith(`${of}-`)) $(held)?.focus();
}

const says = (path) => bike.fields.find((f) => f.path === path)?.says || '';
const usual = (path) => bike.fields.find((f) => f.path === path)?.usual || '';

// The two drawings: readings stand where they are taken, the line that follows below.
function drawings(b) {
  dimensioned('draw-front', 'Front chainline, from above', [
    ['tube', 'tube', 'front.measured.tube_width', 10, 76], ['gap', 'gap', 'front.measured.gap', 128, 76], ['line', 'or front chainline', 'front.line', 60, 128],
  ], (svg) => {
    svg.append(el('rect', { x: 20, y: 26, width: 90, height: 34, fill: 'var(--fill)', stroke: 'var(--c-mid)' }), text(64, 20, 'down tube', { 'text-anchor': 'middle', 'font-size': 11 }));
    svg.append(el('path', { d: 'M65 8v66', stroke: 'var(--c-mid)', 'stroke-dasharray': '6 3 1 3' }), el('rect', { x: 205, y: 14, width: 5, height: 58, fill: 'var(--c-main)' }), text(214, 24, 'chainring', { 'font-size': 11 }));
    svg.append(arrow(20, 110, 66), arrow(110, 207, 66), arrow(65, 207, 122));
    svg.append(el('path', { d: 'M65 74v52M207 72v54', stroke: 'var(--c-mid)', 'stroke-dasharray': '2 3' }));
  }, b, (v) => (v.line !== undefined ? v.line : `tube ${v.tube}, gap ${v.gap}`), 'front');
  dimensioned('draw-rear', 'Rear chainline, from behind', [
    ['dropouts', 'dropouts', 'rear.measured.dropouts', 10, 76], ['stack', 'stack', 'rear.measured.stack', 105, 76], ['gap', 'gap', 'rear.measured.gap', 193, 76], ['line', 'or rear chainline', 'rear.line', 80, 128],
  ], (svg) => {
    svg.append(el('path', { d: 'M14 12v54M262 12v54', stroke: 'var(--c-main)', 'stroke-width': 4 }), el('path', { d: 'M110 8v66', stroke: 'var(--c-mid)', 'stroke-dasharray': '6 3 1 3' }));
    for (let i = 0; i < 6; i++) svg.append(el('rect', { x: 150 + i * 11, y: 14 + i * 4, width: 4, height: 48 - i * 8, fill: 'var(--c-mid)' }));
    svg.append(text(14, 8, 'dropouts, as clamped', { 'font-size': 11 }), arrow(16, 260, 66, 'pale'), arrow(150, 209, 68), arrow(209, 260, 68), arrow(110, 180, 122));
    svg.append(el('path', { d: 'M110 74v52M180 72v54', stroke: 'var(--c-mid)', 'stroke-dasharray': '2 3' }));
  }, b, (v) => (v.line !== undefined ? v.line : `dropouts ${v.dropouts}, stack ${v.stack}, gap ${v.gap}`), 'rear');
}

function arrow(from, to, y, pale) {
  return el('path', { d: `M${from} ${y}H${to}M${from + 5} ${y - 3}L${from} ${y}L${from + 5} ${y + 3}M${to - 5} ${y - 3}L${to} ${y}L${to - 5} ${y + 3}`, fill: 'none', stroke: pale ? 'var(--c-mid)' : 'var(--c-quiet)', 'stroke-width': 1.2 });
}

// dimensioned draws once, with a box for each reading, and then keeps what the case says.
function dimensioned(id, title, boxes, sketch, b, answer, line) {
  const figure = $(id);
  if (!figure.firstChild) {
    const svg = picture(284, 176, title);
    svg.setAttribute('role', 'group');
    sketch(svg);
    for (const [name, words, , x, y] of boxes) {
      const input = Object.assign(document.createElement('input'), { id: `${id}-${name}`, type: 'text', spellcheck: false });
      input.setAttribute('aria-label', `${title}: ${words}`);
      input.addEventListener('change', () => typedLine(id, boxes, answer, line, name));
      svg.append(el('foreignObject', { x, y: y + 12, width: 84, height: 30 }, input), text(x + 2, y + 10, words, { 'font-size': 11 }));
    }
    put(figure, svg);
  }
  for (const [name, , path] of boxes) {
    const input = $(`${id}-${name}`);
    if (document.activeElement === input) continue;
    const value = says(path).replace(/^\[|\]$/g, '');
    input.value = value;
    input.placeholder = name === 'line' ? usual(path) : '';
  }
}

// typedLine tells the engine a line when all of its readings are there, or the line itself.
function typedLine(id, boxes, answer, line, name) {
  const v = {};
  if (name === 'line') v.line = $(`${id}-line`).value.trim();
  else {
    for (const [n] of boxes) if (n !== 'line') v[n] = $(`${id}-${n}`).value.trim();
    if (Object.values(v).some((x) => x === '')) return; // not all yet
  }
  if (v.line === '') return;
  go.measure({ [line]: answer(v) });
}

// sliders makes the controls once, and then keeps their values.
function sliders(inputs, pending) {
  if (!inputs) return;
  const box = $('sliders'), wanted = inputs.map((i) => i.path).join();
  if (box.dataset.paths !== wanted) {
    box.dataset.paths = wanted;
    box.replaceChildren(...inputs.map(control));
  }
  for (const i of inputs) {
    if (pending?.some((e) => e.path === i.path)) continue; // it is on its way
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
  range.title = i.doc;
  // While a slider moves, the undo stack keeps only where it began.
  let stroke = Symbol('stroke');
  range.addEventListener('input', () => { number.value = range.value; go.edit([{ path: i.path, value: range.value }], stroke); });
  range.addEventListener('change', () => { go.edit([{ path: i.path, value: range.value }], stroke, true); stroke = Symbol('stroke'); });
  number.addEventListener('change', () => go.edit([{ path: i.path, value: number.value }]));
  const pair = document.createElement('div');
  pair.className = 'pair';
  pair.append(range, number);
  div.append(label, pair);
  return div;
}

// typed are the fields that are typed as in a case file; empty takes one out.
function typed(b) {
  const box = $('fields');
  if (!box.firstChild) {
    for (const [path, words] of Object.entries(fields)) {
      const id = path.replace(/\W/g, '-'), label = document.createElement('label');
      const input = choices[path] ? document.createElement('select') : Object.assign(document.createElement('input'), { type: 'text', spellcheck: false });
      if (choices[path]) input.append(...choices[path].map(([value, words]) => new Option(words, value)));
      input.id = `${id}-field`;
      input.addEventListener('change', () => go.edit([{ path: path === 'tyre.size' && !input.value.trim() ? 'tyre' : path === 'chainstay.gap' && !input.value.trim() ? 'chainstay' : path, value: input.value.trim() }]));
      label.append(words, ' ', input);
      box.append(label);
    }
  }
  for (const path of Object.keys(fields)) {
    const input = $(`${path.replace(/\W/g, '-')}-field`), f = b.fields.find((x) => x.path === path);
    input.parentElement.hidden = path.startsWith('tensioner') && !b.tensioner || path === 'rear.drive' && b.tensioner;
    if (document.activeElement === input) continue;
    input.value = f.says;
    if (input.tagName === 'INPUT') input.placeholder = f.usual ? `${f.usual} ${f.unit}` : f.unit;
    input.title = f.doc;
  }
}
