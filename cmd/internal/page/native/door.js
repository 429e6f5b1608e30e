// The door to the engine of the command that serves this page: each request goes to it
// and nowhere else.

let giving = null;

// By this name the server tells pages apart, which take turns.
const name = Array.from(crypto.getRandomValues(new Uint8Array(8)), (b) => b.toString(16).padStart(2, '0')).join('');

export async function open() {}

// first: the engine is there at once.
export async function first() { return null; }

export async function ask(request) {
  giving = new AbortController();
  try {
    const r = await fetch('answer', {
      method: 'POST', headers: { 'Content-Type': 'application/json', 'Page-Name': name }, body: JSON.stringify(request), signal: giving.signal,
    });
    if (!r.ok) throw new Error((await r.text()).trim());
    return await r.json();
  } catch (e) {
    if (e.name === 'AbortError') return { superseded: true };
    return { error: `the engine does not answer: ${e.message}. Does chainpath page still run?` };
  }
}

// stop gives up the request that is out.
export function stop() { giving?.abort(); }
