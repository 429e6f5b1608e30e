// Where the work is kept: in the link's fragment, which no server sees, and in this browser.

// sum is the CRC-32 of bytes (ISO 3309), which a link carries so that a broken one is told.
function sum(bytes) {
  let c = ~0;
  for (const b of bytes) {
    c ^= b;
    for (let k = 0; k < 8; k++) c = c & 1 ? (c >>> 1) ^ 0xedb88320 : c >>> 1;
  }
  return (~c >>> 0).toString(16).padStart(8, '0');
}

export function fragment(yaml) {
  const bytes = new TextEncoder().encode(yaml);
  let s = '';
  for (const b of bytes) s += String.fromCharCode(b);
  return `#case=${btoa(s).replace(/\+/g, '-').replace(/\//g, '_').replace(/=+$/, '')}.${sum(bytes)}`;
}

export function fromFragment(hash) {
  const m = /^#case=([A-Za-z0-9_-]+)(?:\.([0-9a-f]{8}))?$/.exec(hash);
  if (!m) throw new Error('it holds no case');
  let bytes;
  try {
    bytes = Uint8Array.from(atob(m[1].replace(/-/g, '+').replace(/_/g, '/')), (c) => c.charCodeAt(0));
  } catch {
    throw new Error('a part of it is missing');
  }
  if (m[2] === undefined || sum(bytes) !== m[2]) throw new Error('it is incomplete or was changed on its way');
  return new TextDecoder('utf-8', { fatal: true }).decode(bytes);
}

const key = 'chainpath-work';

export function keep(work) {
  try { localStorage.setItem(key, JSON.stringify(work)); } catch { /* no room, or not allowed: nothing is kept */ }
}

export function kept() {
  try { return JSON.parse(localStorage.getItem(key)); } catch { return null; }
}

export function forget() {
  try { localStorage.removeItem(key); } catch { /* nothing was kept */ }
}

export function download(name, type, text) {
  const a = Object.assign(document.createElement('a'), { href: URL.createObjectURL(new Blob([text], { type })), download: name });
  a.click();
  setTimeout(() => URL.revokeObjectURL(a.href), 10000);
}
