// What this bicycle does, by tapping a cog and a sign; the engine learns from it.

import { room, signs } from './hazards.js';

const $ = (id) => document.getElementById(id);

const at = { ring: 0, cog: 0 };
let told; // tells the engine

// wireLearn wires the controls once; tell takes further observations, or the number of
// one to drop.
export function wireLearn(tell) {
  told = tell;
  $('seen-way').addEventListener('change', () => draw(state.doc));
  $('seen-ring').addEventListener('change', (e) => { at.ring = Number(e.target.value); draw(state.doc); });
}

// drawSigns makes a button of each sign.
function drawSigns() {
  $('seen-signs').replaceChildren(...signs().map((s) => {
    const b = button(`${s.sign} ${s.words}`, () => {
      const count = s.what === 'off' ? ` ${$('seen-off').value} of ${$('seen-of').value}` : '';
      told({ seen: [`${at.ring}/${at.cog} ${$('seen-way').value}: ${s.what}${count}`] });
    });
    b.dataset.what = s.what;
    b.id = `seen-sign-${s.what}`;
    b.codes = s.codes;
    return b;
  }));
}

const state = { doc: null };

// drawLearn shows the gears and what was seen of them.
export function drawLearn(doc, seen) {
  draw(doc);
  const list = (seen || []).map((words, i) => {
    const li = document.createElement('li'), span = document.createElement('span');
    span.textContent = words.replaceAll('_', ' ');
    const b = button('Remove', () => told({ drop: i + 1 }));
    b.id = `seen-drop-${i + 1}`;
    b.setAttribute('aria-label', `Remove ${words}`);
    li.append(span, b);
    return li;
  });
  $('seen-list').replaceChildren(...list);
  if (!list.length) said([]);
}

function draw(doc) {
  state.doc = doc;
  const rings = [...new Set(doc.gears.map((g) => g.ring_teeth))], cogs = [...new Set(doc.gears.map((g) => g.cog_teeth))];
  if (!rings.includes(at.ring)) at.ring = rings[rings.length - 1];
  if (!cogs.includes(at.cog)) at.cog = cogs[cogs.length - 1];
  $('seen-ring').replaceChildren(...rings.map((r) => new Option(String(r), String(r))));
  $('seen-ring').value = String(at.ring);
  $('seen-ring-label').hidden = rings.length < 2;
  const held = document.activeElement?.dataset?.cog;
  $('seen-cogs').replaceChildren(...cogs.map((c) => {
    const b = button(String(c), () => { at.cog = c; draw(state.doc); });
    b.dataset.cog = c;
    b.id = `seen-cog-${c}`;
    b.setAttribute('aria-pressed', String(c === at.cog));
    return b;
  }));
  if (held) $('seen-cogs').querySelector(`[data-cog="${held}"]`)?.focus();
  const way = $('seen-way').value, gear = doc.gears.find((g) => g.ring_teeth === at.ring && g.cog_teeth === at.cog);
  if (!$('seen-signs').children.length) drawSigns();
  for (const b of $('seen-signs').children) b.disabled = Boolean(b.codes) && !possible(gear, b.codes[way]);
}

// possible tells whether a gear can have a concern: chances come later than the clearances, of
// which there is none where there is nothing to rub, and the rooms that nobody measured.
const possible = (gear, code) => Boolean(code) && !state.doc.rooms_unknown?.includes(room(code)) && gear.clearances[`${code.replace('rubs_', '')}_mm`] !== null;

function button(words, action) {
  const b = Object.assign(document.createElement('button'), { type: 'button', textContent: words });
  b.addEventListener('click', action);
  return b;
}

// lessonSaid tells what was learned; nothing where nothing is left to learn from.
export function lessonSaid(words) { said(words || []); }

function said(words) {
  $('seen-said').replaceChildren(...words.map((w) => Object.assign(document.createElement('p'), { textContent: w })));
}
