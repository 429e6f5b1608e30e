// Words and numbers of gears.
import { chance, grave } from './hazards.js';

export function verdicts(box, g, show) {
  const list = g.verdicts.filter((v) => show === 'both' || v.direction === show);
  box.replaceChildren(...list.map((v) => {
    const p = document.createElement('p'), b = document.createElement('strong');
    b.textContent = `${g.ring_teeth}/${g.cog_teeth} ${v.words}: `;
    p.append(b, `${v.reason}.`);
    if (v.code === 'may_climb' || grave(v.code)) p.className = 'bad';
    return p;
  }));
}

// shiftTable fills a table with every shift, or hides what there is none of.
export function shiftTable(box, answer, table, d) {
  box.hidden = !d;
  if (!d) return;
  answer.textContent = d.answer;
  const cell = (words, head, scope) => { const c = Object.assign(document.createElement(head ? 'th' : 'td'), { textContent: words }); if (scope) c.scope = scope; return c; };
  const head = document.createElement('thead'), body = document.createElement('tbody'), first = document.createElement('tr');
  first.append(...['shift', 'past it, mm', 'places of a turn', 'wait, turns', 'crisp', 'slow', 'reluctant'].map((w) => cell(w, true, 'col')));
  head.append(first);
  const rings = new Set(d.shifts.map((s) => s.ring_teeth)).size;
  body.append(...d.shifts.map((s) => {
    const r = document.createElement('tr');
    r.append(cell(`${rings > 1 ? `${s.ring_teeth}: ` : ''}${s.from_teeth} to ${s.to_teeth}`, true, 'row'), ...[s.past_target_mm[1].toFixed(1), `${s.places_per_turn.toFixed(1)} of ${s.places_of}`, s.delay_turns.toFixed(2), chance(s.crisp), chance(s.slow), chance(s.reluctant)].map((w) => cell(w)));
    return r;
  }));
  table.replaceChildren(head, body);
}

export function gearTable(table, doc, ring, cog) {
  const cell = (words, head, scope) => { const c = Object.assign(document.createElement(head ? 'th' : 'td'), { textContent: words }); if (scope) c.scope = scope; return c; };
  const mm = (v) => (v === null ? '–' : v.toFixed(2));
  const head = document.createElement('thead'), body = document.createElement('tbody'), first = document.createElement('tr');
  first.append(...['gear', 'riding', 'back-pedalling', 'ratio', 'top °', 'bottom °', 'next cog mm', 'tyre mm', 'stay mm', 'loss %'].map((w) => cell(w, true, 'col')));
  head.append(first);
  body.append(...doc.gears.map((g) => {
    const r = document.createElement('tr'), c = g.clearances;
    const words = (d) => g.verdicts.filter((v) => v.direction === d).map((v) => v.words).join(', ');
    r.append(cell(`${g.ring_teeth}/${g.cog_teeth}`, true, 'row'), ...[words('riding'), words('backwards'), g.ratio.toFixed(2), mm(g.top.bend_deg), mm(g.bottom.bend_deg), mm(c.next_cog_mm), mm(c.tyre_mm), mm(c.stay_mm), g.loss && g.loss.loss_percent !== null ? g.loss.loss_percent.toFixed(1) : '–'].map((w) => cell(w)));
    if (g.ring_teeth === ring && g.cog_teeth === cog) r.className = 'on';
    return r;
  }));
  table.replaceChildren(head, body);
}
