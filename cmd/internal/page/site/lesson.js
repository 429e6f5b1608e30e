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
  lines: { title: 'Front and rear chainlines differ', steps: [
    { title: 'Two chainlines', at: 'chart', edits: [], cog: 18,
      text: 'The front chainline is the distance from the frame centreline to the chainring. The rear chainline is the distance to the middle of the cassette. Both are on one axis below the cogs.',
      question: 'How far outboard of the middle of the cassette is this chainring?',
      answer: (d) => `By ${apart(d).toFixed(1)} mm. The next steps ask whether that is a mistake.` },
    { title: 'The same chainline', at: 'chart', edits: [['front.line', '48']], cog: 21,
      text: 'The chainring is now in line with the cassette. The foot of the V is in the middle of the cassette, and the chain angles at both ends are nearly the same.',
      question: 'What is the chain angle on the largest and on the smallest cog now?',
      answer: (d) => `${deg(bend(d, 51))} on 51, ${deg(bend(d, 10))} on 10.` },
    { title: 'What is in the way', at: 'map', edits: [['front.line', '48']], cog: 51,
      text: 'Tyre and chainstay need room inboard of the chainring: it cannot be in the hatched part. The rear wheel is in the middle of the frame and cannot move, and neither can hub and cassette. Only the chainring can move, outboard.',
      question: 'Which way must the chainring move, and because of what?',
      answer: (d) => `Outboard, by the chainstay${gear(d, 51).clearances.tyre_mm === null ? '' : ' and the tyre'}: at ${d.lines.front_mm.toFixed(1)} mm it is in the hatched part.` },
    { title: 'The price', at: 'chart', edits: [['front.line', '54.2']], cog: 51, direction: 'backwards',
      text: 'With the chainring further outboard the chain angle grows on the largest cog and shrinks on the smallest. When you back-pedal, no pulley guides the top run onto the cog.',
      question: 'How likely is a chain drop on the 51 when you back-pedal, and on the 38?',
      answer: (d) => `${said(chance(d, 51, 'drop_backwards'))} on the 51, ${said(chance(d, 38, 'drop_backwards'))} on the 38.` },
    { title: 'Which gear is straight', at: 'chart', edits: [['front.line', '54.2']], cog: 18,
      text: 'The chain is straight at the foot of the V. That is in line with the chainring, not in the middle of the cassette.',
      question: 'Which gear is the straightest?',
      answer: (d) => `${straightest(d).ring_teeth}/${straightest(d).cog_teeth}, at ${deg(straightest(d).top.bend_deg)}.` },
    { title: 'Choosing', at: 'map', edits: [['front.line', '51']], cog: 44,
      text: 'You can choose any position outside the hatched parts. Drag the chainring and watch the columns: where one end gets better, the other gets worse.',
      question: 'Is there a position without a fault in any gear?',
      answer: () => 'Look along the columns for one without any shade. The lowest fault score is marked. Ride the straight gears most.' },
  ] },
  backwards: { title: 'Back-pedalling is different', steps: [
    { title: 'Riding', at: 'chart', edits: [], cog: 51, direction: 'riding',
      text: 'When you ride, the top run is under tension. The chain runs onto the chainring from the cog, and onto the cog from the guide pulley, which is close by and in line with it.',
      question: 'How likely is a chain drop when you ride on the 51?',
      answer: (d) => `${said(chance(d, 51, 'drop_riding'))}.` },
    { title: 'Back-pedalling', at: 'chart', edits: [], cog: 51, direction: 'backwards',
      text: 'When you back-pedal, the chain runs the other way. Now the top run arrives at the cog with its whole chain angle and almost no tension, because the cage holds the other run.',
      question: 'And when you back-pedal?',
      answer: (d) => `${said(chance(d, 51, 'drop_backwards'))}, at the same chain angle of ${deg(bend(d, 51))}.` },
    { title: 'Link by link', at: 'film', edits: [], cog: 51, direction: 'backwards', film: true,
      text: 'A link arrives beside its tooth. Inner links are narrow and outer links wide, so every second link has less room. Where a plate lands on the tip, the next links decide: either it falls back, or they follow.',
      question: 'Which links have less room beside a tooth: inner or outer ones?',
      answer: () => 'The inner ones: their plates stand closer together.' },
    { title: 'One cog smaller', at: 'chart', edits: [], cog: 38, direction: 'backwards',
      text: 'Two cogs further outboard the chain angle is smaller by less than a degree and a half.',
      question: 'How likely is it there?',
      answer: (d) => `${said(chance(d, 38, 'drop_backwards'))} at ${deg(bend(d, 38))}: from unlikely to probable takes less than a degree.` },
    { title: 'A worn chain', at: 'chart', edits: [['chain.slack', '1.5']], cog: 51, direction: 'backwards',
      text: 'A worn chain has more side play in its joints. The chain angles stay the same, but the arriving link is further off its tooth.',
      question: 'What does that do to the chance on the 44?',
      answer: (d) => `It is ${said(chance(d, 44, 'drop_backwards'))} now. Compare it with the step before.` },
  ] },
  change: { title: 'What a change does', steps: [
    { title: 'Today', at: 'chart', edits: [], cog: 51, hold: true,
      text: 'This is the bike as it is. It is kept as “before”, and every change that follows is drawn over it.',
      question: 'What is the chain angle on the 51 and on the 10?',
      answer: (d) => `${deg(bend(d, 51))} and ${deg(bend(d, 10))}.` },
    { title: 'Three millimetres inboard', at: 'chart', edits: [['front.line', '51.2']], cog: 51,
      text: 'This is another chainring offset, or spacers. The whole V moves: chain angles fall on the large cogs and rise on the small ones.',
      question: 'What did the 51 gain, and what did the 10 lose?',
      answer: (d) => `The chain angle is ${deg(bend(d, 51))} on the 51 now, and ${deg(bend(d, 10))} on the 10.` },
    { title: 'A longer chainstay', at: 'chart', edits: [['frame.stay', '455']], cog: 51,
      text: 'The same difference of chainlines over a longer run is a smaller angle. The foot of the V stays where it is.',
      question: 'How much do 20 mm of chainstay take from the chain angle on the 51?',
      answer: (d) => `It is ${deg(bend(d, 51))}: a longer chainstay helps a little everywhere, and an offset helps one side a lot.` },
    { title: 'Another hub', at: 'chart', edits: [['rear.line', '50']], cog: 51,
      text: 'This hub carries the cassette 2 mm further outboard. The cogs move, and the chainring stays.',
      question: 'How far apart are front and rear chainline then?',
      answer: (d) => `${apart(d).toFixed(1)} mm.` },
    { title: 'Something for nothing?', at: 'cards', edits: [], cog: 51,
      text: 'Beside the figure you see what would help most, and what gets worse with it. “Leave it” is an answer too.',
      question: 'Which change would you make, and what would you measure first?',
      answer: () => 'There is no one right answer: say what you gain, what it costs, and how sure it is.' },
  ] },
};
