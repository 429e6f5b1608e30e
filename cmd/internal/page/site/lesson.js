// What a lesson's answer says of the very bicycle that its step has set.

import { chance as said } from './hazards.js';
import { offBy } from './predict.js';

const deg = (x) => `${x.toFixed(1)}°`;
const gear = (doc, cog) => doc.gears.find((g) => g.cog_teeth === Number(cog));
const straightest = (doc) => doc.gears.reduce((a, b) => (b.top.bend_deg < a.top.bend_deg ? b : a));

const numbers = {
  apart: (d) => (d.lines.front_mm - d.lines.rear_mm).toFixed(1),
  front: (d) => d.lines.front_mm.toFixed(1),
  angle: (d, cog) => deg(gear(d, cog).top.bend_deg),
  chance: (d, cog, k) => said(gear(d, cog).chance?.[k] ?? 0),
  straightest: (d) => `${straightest(d).ring_teeth}/${straightest(d).cog_teeth}`,
  least: (d) => deg(straightest(d).top.bend_deg),
  tyre: (d) => (gear(d, 51).clearances.tyre_mm === null ? '' : ' and the tyre'),
};

const filled = (words, by) => words.replace(/{([^}]+)}/g, (_, asked) => {
  const [what, ...of] = asked.split(' ');
  return by(what, of);
});

// answered is a step's answer, and how near what was drawn came.
export function answered(step, doc, drawn) {
  const off = step.draw ? offBy(drawn, doc) : null, how = { off: () => deg(off.mean), farthest: () => String(off.most.cog), by: () => deg(off.most.by) };
  return [filled(step.answer, (what, of) => numbers[what](doc, ...of)), ...(off ? [filled(step.draw, (what) => how[what]())] : [])].join(' ');
}
