// A lesson on why front and rear lines differ, in seven steps. Each sets the bicycle
// and says what to look at.

export const lesson = [
  { title: 'Two lines', from: 'trail', edits: [], cog: 18,
    text: 'Seen from above, the front line runs through the middle of the ring, the rear line through the middle of the cluster. They are measured from the same plane, the middle of the frame. Here the ring stands about 6 mm further out than the middle of the cluster. Is that a mistake?' },
  { title: 'The same line', edits: [['front.line', '48']], cog: 21,
    text: 'Put the ring into the rear line, and the bends on the largest and the smallest cog become nearly alike. That looks right. Now look at the view from above: the chain on the largest cog comes near the tyre, and the ring meets the chainstay.' },
  { title: 'What stands in the way', edits: [['front.line', '48']], cog: 51,
    text: 'Tyre and chainstay want room inboard of the ring. The bars below show from which front line on each has it. The rear wheel cannot move: it stands in the middle of the frame, and hub and cluster with it. Only the ring can give way, outboard.' },
  { title: 'The price', edits: [['front.line', '54.2']], cog: 51, direction: 'backwards',
    text: 'Outboard, the largest cog pays: its bend grows, and the smallest cog gains. Choose pedalling backwards: now the top span runs onto the cog with no pulley to guide it. Its bend passes the climb limit, and that is where this bicycle drops its chain.' },
  { title: 'Length helps', edits: [['front.line', '54.2'], ['frame.stay', '455']], cog: 51, direction: 'backwards',
    text: 'The same difference of lines over a longer stay is a smaller angle. With 20 mm more the bend on the largest cog falls a little. Short stays and wide clusters do not go together well.' },
  { title: 'Wear', edits: [['front.line', '54.2'], ['frame.stay', '435'], ['chain.slack', '1.5']], cog: 51, direction: 'backwards',
    text: 'A worn chain turns sideways more freely in its joints. The bends stay as they are, but the limits fall: an arriving link lies further off its tooth. What was quiet begins to clatter.' },
  { title: 'Choosing', edits: [['front.line', '51'], ['chain.slack', '0.6']], cog: 44,
    text: 'Between the bars lies what may be chosen. Move the front line and watch the gears change sides. There is rarely a place where every gear is quiet: ride the straight gears most, and keep the worst ones within the climb limit.' },
];
