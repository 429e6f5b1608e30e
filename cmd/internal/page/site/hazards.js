// What can go wrong, as the engine's one table has it: by code words, letter, whether it is
// grave, and what observations call it.

let table = new Map();

export function setHazards(list) { if (list) table = new Map(list.map((h) => [h.code, h])); }

export const words = (code) => table.get(code)?.words || code.replaceAll('_', ' ');
export const letter = (code) => table.get(code)?.letter || '';
export const room = (code) => table.get(code)?.room;
export const codes = () => [...table.keys()];
export const grave = (code) => Boolean(table.get(code)?.grave);

// signs are what can be seen, each with its concerns by direction; fine is that there is none.
export function signs() {
  const by = new Map([['fine', { what: 'fine', sign: '✓', words: 'fine' }]]);
  const add = (what, sign, words, h) => {
    if (!what) return;
    if (!by.has(what)) by.set(what, { what, sign, words, codes: {} });
    for (const way of h.ways) by.get(what).codes[way] = h.code;
  };
  for (const h of table.values()) {
    add(h.unseen, '○', h.unseen, h);
    add(h.seen, h.sign, h.words, h);
  }
  return [...by.values()];
}

// chance is a chance as people read it, never as 0 or 100 %.
export const chance = (p) => `${Math.max(1, Math.min(99, Math.round(100 * p)))} %`;

// legend says what the letters stand for: D drops; n noise ...
export function legend() {
  const by = new Map();
  for (const h of table.values()) by.set(h.letter, [...(by.get(h.letter) || []), h.words]);
  return [...by].map(([l, w]) => `${l} ${w.join(' or ')}`).join(', ');
}
