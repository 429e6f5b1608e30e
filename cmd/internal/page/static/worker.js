// The worker, behind Go's loader: first it gets the compiled engine, then requests, text for text.

const early = []; // requests that came before the engine was ready

function answer(text) {
  const a = globalThis.chainpath(text);
  if (typeof a === 'string') postMessage(a); // else the engine just stopped
}

globalThis.chainpathReady = () => {
  onmessage = (e) => answer(e.data);
  early.forEach(answer);
};

onmessage = (e) => {
  if (typeof e.data === 'string') early.push(e.data);
  else run(e.data);
};

// compiled takes the engine, which is stored compressed: some hosts say so and the browser has
// decompressed it already, others send it as it is.
async function compiled(buffer) {
  const bytes = new Uint8Array(buffer);
  if (bytes[0] !== 0x1f || bytes[1] !== 0x8b) return WebAssembly.compile(bytes);
  const plain = new Blob([bytes]).stream().pipeThrough(new DecompressionStream('gzip'));
  return WebAssembly.compileStreaming(new Response(plain, { headers: { 'Content-Type': 'application/wasm' } }));
}

async function run(given) {
  let why = 'it ended';
  try {
    let module = given;
    if (!(given instanceof WebAssembly.Module)) {
      module = await compiled(given);
      postMessage(module);
    }
    const go = new globalThis.Go();
    await go.run(await WebAssembly.instantiate(module, go.importObject));
  } catch (e) {
    why = e.message;
  }
  setTimeout(() => { throw new Error(why); }); // for the page to hear of
}
