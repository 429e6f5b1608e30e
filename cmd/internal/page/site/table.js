// Words and numbers of gears.
import { chance, grave, way } from './hazards.js';

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
  answer.textContent = [d.answer, ...d.notes].join(' ');
  const cell = (words, head, scope) => { const c = Object.assign(document.createElement(head ? 'th' : 'td'), { textContent: words }); if (scope) c.scope = scope; return c; };
  const head = document.createElement('thead'), body = document.createElement('tbody'), first = document.createElement('tr');
  first.append(...['shift', 'chance that it is late', 'room left, mm', 'on 90 of 100 bikes, mm'].map((w) => cell(w, true, 'col')));
  head.append(first);
  body.append(...d.shifts.filter((s) => s.ring_teeth === d.shifts[0].ring_teeth).map((s) => { // alike on every ring
    const r = document.createElement('tr'), m = s.margin_mm.map((x) => x.toFixed(1));
    r.append(cell(`${s.from_teeth} to ${s.to_teeth}`, true, 'row'), ...[chance(s.chance_late), m[1], `${m[0]} to ${m[2]}`].map((w) => cell(w)));
    return r;
  }));
  table.replaceChildren(head, body);
}

export function gearTable(table, doc, ring, cog) {
  const cell = (words, head, scope) => { const c = Object.assign(document.createElement(head ? 'th' : 'td'), { textContent: words }); if (scope) c.scope = scope; return c; };
  const mm = (v) => (v === null ? '–' : v.toFixed(2));
  const head = document.createElement('thead'), body = document.createElement('tbody'), first = document.createElement('tr');
  first.append(...['gear', way('riding'), way('backwards'), 'ratio', 'top °', 'bottom °', 'next cog mm', 'tyre mm', 'stay mm', 'loss %'].map((w) => cell(w, true, 'col')));
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
