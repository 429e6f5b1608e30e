// Three lessons. Each step sets the bicycle, stands beside what it speaks of (at), and asks
// something; its answer is worked out from what the engine says of that very bicycle.

import { chance as said } from './hazards.js';

const deg = (x) => `${x.toFixed(1)}°`;
const gear = (doc, cog) => doc.gears.find((g) => g.cog_teeth === cog);
const bend = (doc, cog) => gear(doc, cog).top.bend_deg;
const chance = (doc, cog, k) => gear(doc, cog).chance?.[k] ?? 0;
const straightest = (doc) => doc.gears.reduce((a, b) => (b.top.bend_deg < a.top.bend_deg ? b : a));
const apart = (doc) => doc.lines.front_mm - doc.lines.rear_mm;

export const lessons = {
  lines: { title: 'Front and rear lines differ', steps: [
    { title: 'Two lines', at: 'chart', edits: [], cog: 18,
      text: 'The front line runs through the middle of the ring, the rear line through the middle of the cluster. Both are measured from the middle plane of the frame, and stand on one axis below the cogs.',
      question: 'By how much does this ring stand outboard of the middle of the cluster?',
      answer: (d) => `By ${apart(d).toFixed(1)} mm. Whether that is a mistake is what the next steps ask.` },
    { title: 'The same line', at: 'chart', edits: [['front.line', '48']], cog: 21,
      text: 'The ring is put into the rear line. The V has its foot in the middle of the cluster, and both ends are bent nearly alike.',
      question: 'How much is the chain bent on the largest and on the smallest cog now?',
      answer: (d) => `${deg(bend(d, 51))} on 51, ${deg(bend(d, 10))} on 10.` },
    { title: 'What stands in the way', at: 'map', edits: [['front.line', '48']], cog: 51,
      text: 'Tyre and chainstay want room inboard of the ring: hatched is where it cannot stand. The rear wheel cannot move, for it stands in the middle of the frame, and hub and cluster with it. Only the ring can give way, outboard.',
      question: 'Which way is the ring pushed, and by what?',
      answer: (d) => `Outboard, by the chainstay${gear(d, 51).clearances.tyre_mm === null ? '' : ' and the tyre'}: at ${d.lines.front_mm.toFixed(1)} mm it lies in the hatched part.` },
    { title: 'The price', at: 'chart', edits: [['front.line', '54.2']], cog: 51, direction: 'backwards',
      text: 'Outboard the largest cog pays: its bend grows, and the smallest cog gains. Pedalled backwards the top run comes onto the cog with no pulley to guide it.',
      question: 'How likely is it that the chain comes off backwards on 51, and on 38?',
      answer: (d) => `${said(chance(d, 51, 'drop_backwards'))} on 51, ${said(chance(d, 38, 'drop_backwards'))} on 38.` },
    { title: 'Which gear is straight', at: 'chart', edits: [['front.line', '54.2']], cog: 18,
      text: 'The foot of the V is where the chain runs straight. It lies under the ring, not in the middle of the cluster.',
      question: 'Which gear is the straightest?',
      answer: (d) => `${straightest(d).ring_teeth}/${straightest(d).cog_teeth}, bent by ${deg(straightest(d).top.bend_deg)}.` },
    { title: 'Choosing', at: 'map', edits: [['front.line', '51']], cog: 44,
      text: 'Between the walls lies what may be chosen. Drag the ring and watch the columns: where one end gets better, the other gets worse.',
      question: 'Is there a place where every gear is quiet and safe?',
      answer: () => 'Look along the columns: a place without any shade would be one. The line of least trouble is drawn; the straight gears are those to ride most.' },
  ] },
  backwards: { title: 'Backwards is different', steps: [
    { title: 'Riding', at: 'chart', edits: [], cog: 51, direction: 'riding',
      text: 'Riding, the top run pulls. The chain arrives at the ring from the cog, and at the cog from the guide pulley, which stands close by and under the cog that is chosen.',
      question: 'How likely is it that the chain comes off riding on 51?',
      answer: (d) => `${said(chance(d, 51, 'drop_riding'))}.` },
    { title: 'Pedalled backwards', at: 'chart', edits: [], cog: 51, direction: 'backwards',
      text: 'Backwards the chain runs the other way round. Now the top run arrives at the cog, over its whole length and with all its bend, and nearly without pull: the cage holds the other run.',
      question: 'And backwards?',
      answer: (d) => `${said(chance(d, 51, 'drop_backwards'))}, at the same bend of ${deg(bend(d, 51))}.` },
    { title: 'Link by link', at: 'film', edits: [], cog: 51, direction: 'backwards', film: true,
      text: 'A link arrives beside its tooth. Inside plates are narrow and outside plates wide, so that every second link has less room. Where a plate lands on the tip, the next links decide: it falls back, or they follow.',
      question: 'Which links have less room beside a tooth: inner or outer ones?',
      answer: () => 'The inner ones: their plates stand closer together.' },
    { title: 'One cog smaller', at: 'chart', edits: [], cog: 38, direction: 'backwards',
      text: 'Two cogs further outboard the bend is smaller by less than a degree and a half.',
      question: 'How likely is it there?',
      answer: (d) => `${said(chance(d, 38, 'drop_backwards'))} at ${deg(bend(d, 38))}: the step from hardly to likely takes less than a degree.` },
    { title: 'A worn chain', at: 'chart', edits: [['chain.slack', '1.5']], cog: 51, direction: 'backwards',
      text: 'A worn chain turns sideways more freely in its joints. The bends stay as they are; the arriving link lies further off its tooth.',
      question: 'What does that do to the chance on 44?',
      answer: (d) => `It is ${said(chance(d, 44, 'drop_backwards'))} now. Compare it with the step before.` },
  ] },
  change: { title: 'What a change does', steps: [
    { title: 'Today', at: 'chart', edits: [], cog: 51, hold: true,
      text: 'This is the bicycle as it stands; it is kept as “before”. Every change that follows is drawn over it, with a line from what was to what is.',
      question: 'How much is the chain bent on 51 and on 10?',
      answer: (d) => `${deg(bend(d, 51))} and ${deg(bend(d, 10))}.` },
    { title: 'Three millimetres inboard', at: 'chart', edits: [['front.line', '51.2']], cog: 51,
      text: 'Another offset of the ring, or spacers. The whole V moves: the side of large cogs goes down, that of small cogs up.',
      question: 'What did 51 gain, and what did 10 lose?',
      answer: (d) => `51 is bent by ${deg(bend(d, 51))} now, 10 by ${deg(bend(d, 10))}.` },
    { title: 'A longer stay', at: 'chart', edits: [['frame.stay', '455']], cog: 51,
      text: 'The same difference of lines over a longer run is a smaller angle. The foot of the V stays where it is.',
      question: 'How much do 20 mm and more of stay take from the bend on 51?',
      answer: (d) => `It is ${deg(bend(d, 51))}: a stay helps a little everywhere, where an offset helps one side much.` },
    { title: 'Another hub', at: 'chart', edits: [['rear.line', '50']], cog: 51,
      text: 'A hub that carries the cluster 2 mm further outboard. The cogs move over the axis, the ring stays.',
      question: 'How far apart are front and rear line then?',
      answer: (d) => `${apart(d).toFixed(1)} mm.` },
    { title: 'Something for nothing?', at: 'cards', edits: [], cog: 51,
      text: 'Beside the figure stands what would help most, and what gets worse with it. “Leave it” is an answer too.',
      question: 'Which change would you make, and what would you measure first?',
      answer: () => 'There is no one right answer: say what you gain, what it costs, and how sure it is.' },
  ] },
};
