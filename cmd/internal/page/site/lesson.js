// What a lesson's answer says of the very bicycle that its step has set.

import { chance as said } from './hazards.js';

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

export const answered = (step, doc) => step.answer.replace(/{([^}]+)}/g, (_, asked) => {
  const [what, ...of] = asked.split(' ');
  return numbers[what](doc, ...of);
});
