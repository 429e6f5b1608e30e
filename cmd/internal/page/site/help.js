// What would help: changes as cards, what to find out first, and what is behind symptoms, in the
// engine's words.

import { onPage } from './hazards.js';

const $ = (id) => document.getElementById(id);

function line(tag, text, cls = '') { return Object.assign(document.createElement(tag), { textContent: text, className: cls }); }

// drawHelp shows the cards; take(yaml) tries one on the figure.
export function drawHelp(a, take) {
  if (a.error) {
    $('advice').textContent = a.error;
    $('cards').replaceChildren();
    return;
  }
  $('advice').textContent = onPage(a.advice);
  [$('advised').textContent] = onPage(a.advice).split(/(?<=\.) (?=[A-Z])/); // where the rest is below the figure
  const held = document.activeElement?.id;
  $('cards').replaceChildren(...a.cards.map((c, i) => {
    const card = document.createElement('article');
    card.className = 'card';
    card.append(line('h3', c.name), ...c.lines.map((words, k) => line('p', words, k === 0 ? 'hint' : k >= c.lines.length - c.worse ? 'bad' : '')));
    if (c.best.changes.length) {
      const b = line('button', 'Try it on the figure');
      b.type = 'button';
      b.id = `try-${i}`;
      b.addEventListener('click', () => take(c.yaml));
      card.append(b);
    }
    return card;
  }));
  if (held?.startsWith('try-')) $(held)?.focus();
}

export function drawNext(a) {
  $('next-answer').textContent = a.error || a.next.answer;
  $('next-list').replaceChildren(...(a.next?.tests || []).filter((t) => t.chance_it_turns_the_choice >= 0.01).slice(0, 4).map((t) => line('li', t.words)));
}

export function drawDiagnosis(a) {
  const box = $('diagnosis');
  if (!a?.diagnosis) { box.replaceChildren(); return; }
  const out = [line('h3', 'Likely causes')];
  if (a.diagnosis.together) out.push(line('p', a.diagnosis.together.words));
  if (a.diagnosis.look_first) out.push(line('p', a.diagnosis.look_first));
  if (a.diagnosis.shift_words) out.push(line('p', a.diagnosis.shift_words));
  const all = document.createElement('ol');
  for (const f of a.diagnosis.findings) {
    const li = document.createElement('li');
    li.append(line('p', f.words, 'strong'), ...f.lines.map((words) => line('p', words)));
    all.append(li);
  }
  box.replaceChildren(...out, all, ...a.diagnosis.cautions.map((words) => line('p', words, 'hint')));
}
