// What can go wrong, as the engine's one table has it: by code words, letter, whether it is
// grave, and what observations call it.

let table = new Map();
let small = { levels: [], ways: {}, letters: '', today: '', best: '', no_room: '', fine: '' };

// onPage puts the page's own parts in the place of the commands that sentences name.
const parts = { diagnose: 'Check first', fix: 'What would help', shifts: 'How it shifts', learn: 'What your bike does', chainline: 'With the chainring elsewhere' };
export const onPage = (words) => words.replace(/chainpath (diagnose|fix|shifts|learn|chainline)\b/g, (_, command) => `“${parts[command]}”`);

// setHazards takes the engine's table and its words for what the page works out itself.
export function setHazards(list, words) {
  if (list) table = new Map(list.map((h) => [h.code, h]));
  if (words) small = words;
}

// step is the level of a chance, 0 for what is not spoken of; level says it, steps are where the
// levels begin.
export const step = (p) => Math.max(0, small.levels.findLastIndex((l) => p >= l.from));
export const level = (s) => small.levels[s]?.words ?? '';
export const steps = () => small.levels.slice(1).map((l) => l.from);
export const said = (name) => small[name];
export const way = (direction) => small.ways[direction];

export const letter = (code) => table.get(code)?.letter || '';
export const room = (code) => table.get(code)?.room;
export const grave = (code) => Boolean(table.get(code)?.grave);

// signs are what can be seen, each with its concerns by direction; fine is that there is none.
export function signs() {
  const by = new Map([['fine', { what: 'fine', sign: '✓', words: said('fine') }]]);
  const add = (what, sign, words, h) => {
    if (!what) return;
    if (!by.has(what)) by.set(what, { what, sign, words, codes: {} });
    for (const way of h.ways) by.get(what).codes[way] = h.code;
  };
  for (const h of table.values()) {
    add(h.unseen, '○', h.unseen_words, h);
    add(h.seen, h.sign, h.seen_words, h);
  }
  return [...by.values()];
}

// chance is a chance as people read it, never as 0 or 100 %, where the page works it out itself
// while the chainring moves, or puts it into a table.
export const chance = (p) => `${Math.max(1, Math.min(99, Math.round(100 * p)))} %`;
