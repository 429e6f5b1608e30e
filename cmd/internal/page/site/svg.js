// A small writer of SVG elements, shared by the views.

const space = 'http://www.w3.org/2000/svg';

export function el(name, attributes = {}, ...children) {
  const e = document.createElementNS(space, name);
  for (const [k, v] of Object.entries(attributes)) e.setAttribute(k, typeof v === 'number' ? round(v) : v);
  for (const c of children) e.append(c);
  return e;
}

export const round = (x) => Math.round(x * 100) / 100;

export function text(x, y, words, attributes = {}) {
  return el('text', { x, y, 'font-size': 13, ...attributes }, words);
}

// picture makes an SVG of a size in its own units, with a title for screen readers.
export function picture(width, height, title) {
  return el('svg', { viewBox: `0 0 ${round(width)} ${round(height)}`, role: 'img' }, el('title', {}, title));
}

// room returns how wide a figure may be drawn in its own units: as wide as it stands on
// the screen, so that its letters keep their size, within what the views can use.
export const room = (figure) => Math.max(320, Math.min(820, figure.clientWidth || 820));

// put replaces what a figure shows.
export function put(figure, svg) { figure.replaceChildren(svg); }

// ticks returns round steps between two numbers, about n of them.
export function ticks(lo, hi, n) {
  const raw = (hi - lo) / n, power = 10 ** Math.floor(Math.log10(raw));
  const step = [1, 2, 5, 10].map((k) => k * power).find((s) => s >= raw);
  const out = [];
  for (let i = Math.ceil(lo / step); i * step <= hi + 1e-9; i++) out.push(Math.round(i * step * 1e6) / 1e6);
  return out;
}
