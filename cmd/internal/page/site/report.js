// The report as one file of HTML that loads nothing: bike, complaint, answer, figure, options,
// what was measured, caution; every gear below.

const escape = (s) => String(s).replace(/[&<>"]/g, (c) => ({ '&': '&amp;', '<': '&lt;', '>': '&gt;', '"': '&quot;' }[c]));

const style = `:root{--paper:#fff;--ink:#141414;--c-main:#141414;--c-quiet:#00606f;--c-climb:#8a5200;--c-pale:#d8d8d4;--c-mid:#6d6d6d;--bad:#7a1f00;--fill:#f1f1ee;--c-unlikely:#e3e3df;--c-unclear:#b4b4ae;--c-likely:#7d7d78}
body{font:11pt/1.4 system-ui,"Liberation Sans",Arial,sans-serif;color:#141414;margin:1.5rem auto;max-width:48rem;padding:0 1rem}h1{font-size:1.4rem;margin:0}h2{font-size:1.05rem;margin:1rem 0 .2rem;border-bottom:1px solid #b8b8b8}
svg{width:100%;height:auto}svg text{fill:#141414;font-family:inherit}.halo{paint-order:stroke;stroke:#fff;stroke-width:3px}table{border-collapse:collapse;font-size:9pt}th,td{text-align:left;padding:.1rem .4rem;border-bottom:1px solid #b8b8b8}
.answer{font-size:1.1rem;font-weight:600}.care{border-left:4px solid #8a5200;padding:.2rem .8rem;background:#f1f1ee}.break{break-before:page}@page{margin:14mm}`;

const block = (title, body) => (body ? `<h2>${escape(title)}</h2>${body}` : '');
const list = (items) => (items.length ? `<ul>${items.map((i) => `<li>${escape(i)}</li>`).join('')}</ul>` : '');

// reportOf returns the file's text. p: title, answer, usual, seen, helped (what would help), bike
// (fields), figure, gears and caution as HTML, date.
export function reportOf(p) {
  const names = { 'front.line': 'front chainline', 'front.measured.tube_width': 'tube', 'front.measured.gap': 'tube to chainring', 'rear.line': 'rear chainline', 'rear.measured.dropouts': 'between dropouts', 'rear.measured.stack': "cassette's stack", 'rear.measured.gap': 'cassette to dropout', 'frame.stay': 'chainstay', 'tyre.size': 'tyre', 'chainstay.gap': 'chainring to chainstay' };
  const measured = p.bike.fields.filter((f) => f.says && names[f.path]).map((f) => `${names[f.path]}: ${f.says}${/[a-z]/.test(f.says) || !f.unit ? '' : ` ${f.unit}`}`);
  const options = (p.helped.cards || []).filter((c) => c.best.changes.length).slice(0, 3).map((c) => c.option);
  return `<!DOCTYPE html><html lang="en"><head><meta charset="utf-8"><meta http-equiv="Content-Security-Policy" content="default-src 'none'; style-src 'unsafe-inline'; img-src data:"><title>${escape(p.title)}</title><style>${style}</style></head><body>
<h1>${escape(p.bike.title)}</h1><p>${escape(p.title)}${p.date ? `, ${escape(p.date)}` : ''}</p>
${block('What was seen', list(p.seen))}<h2>Answer</h2><p class="answer">${escape(p.answer)}</p><p>${escape(p.usual)}</p>
${p.figure}
${block('What would help', options.length ? list(options) : `<p>${escape(p.helped.advice || '')}</p>`)}${block('Measured', list(measured))}
${p.care}
<h2 class="break">Every gear</h2>${p.gears}<p>${escape(p.note)}</p></body></html>
`;
}
