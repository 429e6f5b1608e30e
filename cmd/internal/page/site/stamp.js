// Of which bike each panel's answer is. One that is of another bike than the one at hand is dimmed, says so, and has
// nothing to take.

const $ = (id) => document.getElementById(id);
const of = new Map(); // by panel: the case that it was answered for

export const panels = ['headline-of', 'compared-of', 'map-of', 'film-of', 'help-of', 'next-of', 'diagnosis-of', 'shifts-of', 'window-of', 'space-of'];

// stamp says that panels show the answer for a case; null: they show none.
export function stamp(yaml, ...ids) {
  for (const id of ids) {
    of.set(id, yaml);
    mark(id, false);
  }
}

// aged marks what is of another case than the one at hand.
export function aged(yaml) {
  for (const id of panels) mark(id, (of.get(id) ?? yaml) !== yaml);
}

function mark(id, old) {
  const panel = $(id);
  panel.dataset.old = old ? 'yes' : 'no';
  panel.setAttribute('aria-busy', String(old));
  panel.querySelector('.old').hidden = !old;
  for (const b of panel.querySelectorAll('button[id^=try-]')) b.disabled = old;
}
