// A line that is drawn over the cogs before the chain angles are shown: what somebody expects of them.

import { el } from './svg.js';

// drawn is what was drawn: guess by cog, in degrees; open until the angles are shown.
export const opened = () => ({ guess: new Map(), open: true });

// wirePredict lets a line be drawn on the figure, by pointer or, on its points, by keys. now() is what is drawn on, null:
// nothing; scale() that of the figure, cogs() its cogs; then draws anew.
export function wirePredict(figure, now, scale, cogs, then) {
  let last = null;
  const at = (e) => {
    const s = scale(), box = figure.querySelector('svg').getBoundingClientRect(), k = s.width / box.width;
    const line = s.lo + ((e.clientX - box.left) * k - s.left) / (s.width - s.left - s.right) * (s.hi - s.lo);
    return { line, angle: (s.base - (e.clientY - box.top) * k) / s.panel * s.top };
  };
  const put = (cog, angle) => now().guess.set(cog.teeth, Math.round(Math.max(0, Math.min(scale().top, angle)) * 10) / 10);
  const to = (e) => {
    const here = at(e), from = last ?? here, list = cogs();
    const between = list.filter((c) => (c.line_mm - from.line) * (c.line_mm - here.line) <= 0);
    for (const c of between) put(c, here.line === from.line ? here.angle : from.angle + (here.angle - from.angle) * (c.line_mm - from.line) / (here.line - from.line));
    put(list.reduce((a, b) => (Math.abs(b.line_mm - here.line) < Math.abs(a.line_mm - here.line) ? b : a)), here.angle);
    last = here;
    then();
  };
  figure.addEventListener('pointerdown', (e) => {
    if (!now()?.open || e.target.closest?.('.handle, .pick') || at(e).angle < 0) return;
    last = null;
    figure.setPointerCapture(e.pointerId);
    to(e);
    e.preventDefault();
  });
  figure.addEventListener('pointermove', (e) => { if (last) to(e); });
  for (const end of ['pointerup', 'pointercancel']) figure.addEventListener(end, () => { last = null; });
  figure.addEventListener('keydown', (e) => {
    const point = e.target.closest?.('.guess'), by = { ArrowUp: 0.1, ArrowDown: -0.1, PageUp: 1, PageDown: -1 }[e.key];
    if (!point || !by || !now()?.open) return;
    const cog = cogs().find((c) => c.teeth === Number(point.dataset.cog));
    put(cog, (now().guess.get(cog.teeth) ?? 0) + by);
    e.preventDefault();
    then();
    document.getElementById(point.id).focus();
  });
}

// drawPrediction draws the line with a point for each cog.
export function drawPrediction(svg, p, cogs, x, y) {
  const has = cogs.filter((c) => p.guess.has(c.teeth));
  const d = has.map((c, i) => `${i ? 'L' : 'M'}${x(c.line_mm).toFixed(1)} ${y(p.guess.get(c.teeth)).toFixed(1)}`).join('');
  svg.append(el('path', { class: 'drawn', d, fill: 'none', stroke: 'var(--teal)', 'stroke-width': 2.4, 'stroke-dasharray': '1 5', 'stroke-linecap': 'round' }));
  for (const c of p.open ? cogs : has) {
    const angle = p.guess.get(c.teeth);
    const at = { id: `guess-${c.teeth}`, class: 'guess', 'data-cog': c.teeth };
    if (p.open) Object.assign(at, { role: 'slider', tabindex: 0, 'aria-label': `chain angle that you expect on the ${c.teeth}`, 'aria-orientation': 'vertical', 'aria-valuemin': 0, 'aria-valuemax': 9, 'aria-valuenow': angle ?? 0, 'aria-valuetext': angle === undefined ? 'not drawn yet' : `${angle.toFixed(1)} degrees` });
    svg.append(el('g', at, el('rect', { x: x(c.line_mm) - 9, y: y(angle ?? 0) - 9, width: 18, height: 18, fill: 'transparent' }),
      el('circle', { cx: x(c.line_mm), cy: y(angle ?? 0), r: 4, fill: angle === undefined ? 'var(--paper)' : 'var(--teal)', stroke: 'var(--teal)', 'stroke-width': 1.5 })));
  }
}

// offBy tells how far what was drawn is off the chain angles: on average, and the cog where it is most; null: nothing was
// drawn.
export function offBy(p, doc) {
  const off = doc.gears.filter((g) => p?.guess.has(g.cog_teeth) && g.top.bend_deg !== null).map((g) => ({ cog: g.cog_teeth, by: Math.abs(p.guess.get(g.cog_teeth) - g.top.bend_deg) }));
  if (!off.length) return null;
  return { mean: off.reduce((sum, o) => sum + o.by, 0) / off.length, most: off.reduce((a, b) => (b.by > a.by ? b : a)) };
}
