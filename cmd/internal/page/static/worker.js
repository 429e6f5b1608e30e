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

async function run(module) {
  let why = 'it ended';
  try {
    const go = new globalThis.Go();
    await go.run(await WebAssembly.instantiate(module, go.importObject));
  } catch (e) {
    why = e.message;
  }
  setTimeout(() => { throw new Error(why); }); // for the page to hear of
}
