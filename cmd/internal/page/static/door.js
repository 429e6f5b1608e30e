// The door to the engine in WebAssembly, which computes in a worker of its own, so that
// the page never waits for it; the worker compiles it too, the first time.

let program = '', bytes = null, module = null, worker = null, answered = null, waiting = null;

async function get(name) {
  const response = await fetch(name);
  if (!response.ok) throw new Error(`${name}: ${response.status}`);
  return response;
}

// first is an answer that was worked out when the site was written: what can be shown before
// the engine is there.
export async function first() {
  try { return await (await get('first.json')).json(); } catch { return null; }
}

// open loads all that a worker is made of, so that others can be made without the server.
export async function open() {
  const [loader, own, wasm] = await Promise.all(['wasm_exec.js', 'worker.js', 'engine.wasm.gz'].map(get));
  program = URL.createObjectURL(new Blob([await loader.text(), '\n', await own.text()], { type: 'text/javascript' }));
  bytes = await wasm.arrayBuffer();
  begin();
  send();
}

function begin() {
  worker = new Worker(program);
  worker.onmessage = (e) => {
    if (typeof e.data === 'string') give(JSON.parse(e.data));
    else { module = e.data; bytes = null; } // compiled, for another worker
  };
  worker.onerror = (e) => {
    end();
    give({ error: `the engine stopped: ${e.message}. The next change starts another.` });
  };
  worker.postMessage(module || bytes);
}

function end() {
  worker.terminate();
  worker = null;
}

function give(a) {
  const f = answered;
  answered = null;
  f?.(a);
}

export function ask(request) {
  return new Promise((resolve) => {
    answered = resolve;
    waiting = JSON.stringify(request);
    send();
  });
}

// send puts the request that waits to the worker; before the worker can be made it waits on.
function send() {
  if (waiting === null || !program) return;
  if (!worker) begin();
  worker.postMessage(waiting);
  waiting = null;
}

// stop gives up the request that is out. A worker that computes hears nothing, so it is
// ended, and another begun of the module that is compiled already.
export function stop() {
  if (!answered) return;
  if (waiting === null && worker) {
    end();
    begin();
  }
  waiting = null;
  give({ superseded: true });
}
