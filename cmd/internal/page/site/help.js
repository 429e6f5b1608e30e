// What would help: changes as cards, what to find out first, and what is behind symptoms.

import { chance, words } from './hazards.js';

const $ = (id) => document.getElementById(id);

// gears says which gears change, by concern: "noise in 32/51, 32/44".
function gears(list) {
  const by = new Map();
  for (const c of list) by.set(c.concern, [...(by.get(c.concern) || []), `${c.ring_teeth}/${c.cog_teeth}`]);
  return [...by].map(([k, g]) => `${words(k)} in ${g.slice(0, 4).join(', ')}${g.length > 4 ? ` and ${g.length - 4} more` : ''}`).join('; ');
}

function line(tag, text, cls = '') { return Object.assign(document.createElement(tag), { textContent: text, className: cls }); }

// drawHelp shows the cards; take(yaml) tries one on the figure.
export function drawHelp(a, take) {
  if (a.error) {
    $('advice').textContent = a.error;
    $('cards').replaceChildren();
    return;
  }
  $('advice').textContent = a.advice;
  const held = document.activeElement?.id;
  $('cards').replaceChildren(...a.cards.map((c, i) => {
    const card = document.createElement('article');
    card.className = 'card';
    card.append(line('h3', c.name));
    const cost = c.price === null ? 'price not known' : c.price === 0 ? 'costs nothing' : `price ${c.price}`;
    card.append(line('p', `${cost} · fault score ${(c.best.complaint_trouble + c.best.new_harm).toFixed(2)}${c.best.sets_better === null ? '' : ` · better on ${Math.max(1, Math.min(99, Math.round(100 * c.best.sets_better)))} of 100 versions of the bike`}`, 'hint'));
    if (c.better.length) card.append(line('p', `Less: ${gears(c.better)}.`));
    card.append(line('p', c.best.worse.length ? `More: ${gears(c.best.worse)}.` : c.best.changes.length ? 'Nothing new gets worse.' : 'Leave it as it is.', c.best.worse.length ? 'bad' : 'hint'));
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
  $('next-list').replaceChildren(...(a.next?.tests || []).filter((t) => t.chance_it_turns_the_choice >= 0.01).slice(0, 4).map((t) => line('li', `${t.text} (${t.minutes} min): changes the choice with a chance of ${chance(t.chance_it_turns_the_choice)}`)));
}

export function drawDiagnosis(a) {
  const box = $('diagnosis');
  if (!a?.diagnosis) { box.replaceChildren(); return; }
  const out = [line('h3', 'Likely causes')];
  for (const f of a.diagnosis.findings) {
    out.push(line('p', `${f.symptom.replaceAll('_', ' ')} ${f.direction} in ${(f.in_gears || []).join(', ')}`, 'strong'));
    const list = document.createElement('ul');
    for (const s of (f.suspects || []).slice(0, 3)) list.append(line('li', `${words(s.concern)}: ${chance(s.share)}`));
    for (const t of f.try || []) list.append(line('li', `chainring ${Math.abs(t.front_line_by_mm).toFixed(1)} mm ${t.front_line_by_mm < 0 ? 'inboard' : 'outboard'}: chance ${chance(t.chance_before)} becomes ${chance(t.chance_after)}`));
    for (const c of (f.check_also || []).slice(0, 3)) list.append(line('li', `check: ${c}`));
    out.push(list);
  }
  box.replaceChildren(...out);
}

// comparedWords says what changed from before to now.
export function comparedWords(d) {
  const [was, is] = d.set_ups;
  const less = is.changes.filter((c) => c.chance < c.chance_first), more = is.changes.filter((c) => c.chance > c.chance_first);
  const by = is.trouble_avoided;
  const out = [`Fault score ${was.trouble.toFixed(2)} before, ${is.trouble.toFixed(2)} now${Math.abs(by) < 0.005 ? ': the same' : by > 0 ? ': less' : ': more'}.`];
  if (less.length) out.push(`Less: ${gears(less)}.`);
  if (more.length) out.push(`More: ${gears(more)}.`);
  if (!less.length && !more.length) out.push('No chance of any gear changed by 5 % or more.');
  return out.join(' ');
}
