// Lessons beside what they speak of, a handout with blanks and its answer sheet, and a class
// mode: the figure alone in large letters, first predicted, then revealed.

import { answered } from './lesson.js';

const $ = (id) => document.getElementById(id);

let go, lessons, at = null; // go: what main gives; lessons by name, the engine's; at: { lesson, step }

// wireTeach: go.set(step) sets the bicycle and returns when it stands; go.doc() is what the
// engine says of it; go.stage(n) draws the figure for a class; go.answers(steps) works out the
// answers of a whole lesson; go.whole() is the document, and what was drawn before, when all is there; go.end() ends it.
export function wireTeach(to, list) {
  go = to;
  lessons = Object.fromEntries(list.map((l) => [l.name, l]));
  $('lesson').append(...list.map((l) => new Option(l.title, l.name)));
  $('lesson').addEventListener('change', (e) => (e.target.value ? goTo(e.target.value, 0) : end()));
  $('lesson-back').addEventListener('click', () => goTo(at.lesson, at.step - 1));
  $('lesson-next').addEventListener('click', () => (at.step + 1 < lessons[at.lesson].steps.length ? goTo(at.lesson, at.step + 1) : end()));
  $('lesson-end').addEventListener('click', end);
  $('lesson-show').addEventListener('click', answer);
  $('lesson-handout').addEventListener('click', () => sheet(false));
  $('lesson-sheet').addEventListener('click', () => sheet(true));
  $('class').addEventListener('click', () => classroom(true));
  addEventListener('keydown', keys);
  document.addEventListener('fullscreenchange', () => { if (!document.fullscreenElement && stage !== null) classroom(false); });
}

function end() {
  at = null;
  $('lesson-box').hidden = true;
  $('lesson').value = '';
  document.querySelector('.spoken')?.classList.remove('spoken');
  $('lesson').focus();
  go.end();
}

async function goTo(name, k) {
  at = { lesson: name, step: k };
  const l = lessons[name], s = l.steps[k], box = $('lesson-box');
  document.querySelector('.spoken')?.classList.remove('spoken');
  const target = $(s.at);
  const held = box.contains(document.activeElement) ? document.activeElement.id : 'lesson-next';
  target.before(box); // beside what it speaks of
  target.classList.add('spoken');
  box.hidden = false;
  $('lesson').value = name;
  $('lesson-title').textContent = s.title;
  $('lesson-text').textContent = s.text;
  $('lesson-question').textContent = s.question;
  $('lesson-answer').hidden = true;
  $('lesson-answer').textContent = '';
  $('lesson-at').textContent = `${k + 1} of ${l.steps.length}`;
  $('lesson-back').disabled = k === 0;
  $('lesson-next').textContent = k + 1 === l.steps.length ? 'Finish' : 'Next';
  $(held).focus({ preventScroll: true });
  const mine = at;
  await go.set(s, k === 0);
  if (at !== mine) return; // gone on meanwhile
  box.scrollIntoView({ block: 'nearest' });
}

// answer shows a step's answer as soon as the chances are there.
async function answer() {
  const mine = at, s = lessons[at.lesson].steps[at.step];
  const [doc, drawn] = await go.whole();
  if (at !== mine) return;
  $('lesson-answer').textContent = answered(s, doc, drawn);
  $('lesson-answer').hidden = false;
}

// sheet prints the lesson as a handout, with blanks or with its answers.
async function sheet(answers) {
  const l = lessons[at.lesson], h = $('handout');
  const list = document.createElement('ol');
  const found = answers ? await go.answers(l.steps) : null;
  l.steps.forEach((s, i) => {
    const li = document.createElement('li');
    for (const [tag, text] of [['h3', s.title], ['p', s.text], ['p', s.question]]) li.append(Object.assign(document.createElement(tag), { textContent: text }));
    li.append(Object.assign(document.createElement('p'), { className: answers ? 'strong' : 'blank', textContent: answers ? answered(s, found[i]) : '' }));
    list.append(li);
  });
  h.replaceChildren(Object.assign(document.createElement('h2'), { textContent: `${l.title}${answers ? ': answers' : ''}` }),
    Object.assign(document.createElement('p'), { textContent: answers ? 'Worked out from the shipped, invented trail bike.' : 'Name ______________________   Date ____________' }), list,
    Object.assign(document.createElement('p'), { className: 'care', textContent: 'Keep your fingers away from a moving chain. Ask whoever looks after a bike before you try anything on it.' }));
  h.hidden = false;
  document.body.dataset.print = 'handout';
  const done = () => { h.hidden = true; delete document.body.dataset.print; };
  addEventListener('afterprint', done, { once: true });
  print();
}

// The class: 0 cogs and ring alone, 1 the bends, 2 what is likely. Page down and up are what a
// presenter's remote sends.
let stage = null;

function classroom(on) {
  stage = on ? 0 : null;
  document.body.classList.toggle('class', on);
  if (on) document.documentElement.requestFullscreen?.().catch(() => {});
  else if (document.fullscreenElement) document.exitFullscreen();
  for (const [k, v] of [['role', 'heading'], ['aria-level', '1']]) on ? $('answer').setAttribute(k, v) : $('answer').removeAttribute(k); // the page's own is hidden
  go.stage(stage);
  if (!on) $('class').focus();
}

function keys(e) {
  if (stage === null || e.target.closest?.('.handle')) return;
  if (e.key === 'Escape') { classroom(false); return; }
  const by = { PageDown: 1, ArrowRight: 1, ' ': 1, Enter: 1, PageUp: -1, ArrowLeft: -1 }[e.key];
  if (!by) return;
  e.preventDefault();
  stage = Math.max(0, Math.min(2, stage + by));
  go.stage(stage);
}

// asked is what a class reads at each stage.
export const asked = ['Which gears will be noisy, and which will drop the chain? The chainring is at the mark.', 'This is the chain angle in every gear. Where will it go wrong?'];
