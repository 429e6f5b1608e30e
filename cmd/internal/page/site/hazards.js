// What can go wrong, as the engine's one table has it: words and letter by code.

let table = new Map();

export function setHazards(list) { if (list) table = new Map(list.map((h) => [h.code, h])); }

export const words = (code) => table.get(code)?.words || code.replaceAll('_', ' ');
export const letter = (code) => table.get(code)?.letter || '';
export const codes = () => [...table.keys()];

// chance is a chance with two digits, never as 0 or 1.
export const chance = (p) => (p < 0.005 ? '<0.01' : p > 0.995 ? '>0.99' : p.toFixed(2));

// legend says what the letters stand for: D comes off, comes off backwards; n noise ...
export function legend() {
  const by = new Map();
  for (const h of table.values()) by.set(h.letter, [...(by.get(h.letter) || []), h.words]);
  return [...by].map(([l, w]) => `${l} ${w.join(' or ')}`).join(', ');
}
