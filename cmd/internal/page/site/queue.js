// One request is with the engine, and the newest waits behind it: a newer one takes the
// place of one that waits, and of one with the engine that takes long.

import * as door from './door.js';

const slow = (r) => Boolean(r.window || r.chances || ['parts', 'next', 'diagnose', 'compare', 'march', 'shifts'].includes(r.op));

let out = null, waiting = null;

export function engine(request) {
  return new Promise((resolve) => {
    waiting?.resolve({ superseded: true });
    waiting = { request, resolve };
    if (out && slow(out.request)) door.stop();
    next();
  });
}

async function next() {
  const quick = [out, waiting].some((r) => r && !slow(r.request));
  document.documentElement.dataset.busy = quick ? 'yes' : 'no';
  if (out || !waiting) return;
  const mine = out = waiting;
  waiting = null;
  const a = await door.ask(mine.request);
  out = null;
  mine.resolve(a);
  next();
}

let urgent = 0;

// surely asks until nothing newer takes its place. What comes while idle waits for it: else the
// two would take each other's place for ever.
export async function surely(request) {
  urgent++;
  try {
    let a;
    do a = await engine(request()); while (a.superseded);
    return a;
  } finally {
    urgent--;
  }
}

// idle reports whether nobody waits for an answer.
export const idle = () => urgent === 0;
