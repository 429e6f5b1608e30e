// The cut across the link that arrives: its plates, and the tooth whose tip just reaches them, from behind, outboard to
// the right, at a scale of its own.

import { el, text, picture, put } from './svg.js';

// drawCut draws it for how links arrive, of the engine's answer; nothing where they do not.
export function drawCut(figure, cut, entry, bad) {
  if (!entry) { figure.replaceChildren(); return; }
  const width = 200, k = 15, tall = 236, x = (v) => width / 2 + v * k, tip = 30 + cut.height_mm * k, y = (v) => tip - v * k; // mm above the tip
  const svg = picture(width, tall, entry.words);
  // The tooth: as thick at the tip as the engine says, and full below its relief.
  const foot = (tall - tip) / k;
  svg.append(el('path', { class: 'tooth', d: `M${x(-entry.tip_mm / 2)} ${y(0)}H${x(entry.tip_mm / 2)}L${x(entry.full_mm / 2)} ${y(-entry.relief_mm)}V${y(-foot)}H${x(-entry.full_mm / 2)}V${y(-entry.relief_mm)}z`, fill: 'var(--c-mid)' }));
  const thick = (cut.outer_mm - cut.inner_mm) / 2;
  const plates = (off, up, more) => [-1, 1].map((s) => el('rect', { x: x(off + s * (cut.inner_mm + thick) / 2 - thick / 2), y: y(up + cut.height_mm), width: thick * k, height: cut.height_mm * k, ...more }));
  svg.append(...plates(0, -entry.seated_mm, { class: 'seated', fill: 'none', stroke: 'var(--c-mid)', 'stroke-dasharray': '3 3' }));
  svg.append(...plates(entry.offset_mm, 0, { class: 'arriving', fill: bad ? 'var(--accent)' : 'var(--c-main)' }));
  svg.append(el('path', { d: `M${x(0)} ${y(cut.height_mm) - 8}V${tall}`, stroke: 'var(--soft)', 'stroke-width': 1, 'stroke-dasharray': '8 3 2 3' }));
  svg.append(el('path', { d: `M${width - 12 - k} ${12}h${k}`, stroke: 'var(--ink)', 'stroke-width': 2 }), text(width - 16 - k, 16, '1 mm', { 'text-anchor': 'end', 'font-size': 12 }));
  put(figure, svg);
}
