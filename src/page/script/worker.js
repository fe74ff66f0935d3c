// In the worker: the engine, one question after another.

/** @type {(wasm: WebAssembly.Module) => void} */
let begin;
/** @type {Promise<any>} */
const engine = new Promise((done) => {
  begin = (wasm) => {
    const instantiateWasm = (/** @type {any} */ imports, /** @type {(instance: any) => void} */ ready) => {
      WebAssembly.instantiate(wasm, imports).then(ready);
      return {};
    };
    lampbeatEngine({ instantiateWasm }).then(done);
  };
});

/**
 * Lends the engine bytes for one call.
 * @param {any} module @param {Uint8Array} bytes @param {(pointer: number) => void} use
 */
function lend(module, bytes, use) {
  const pointer = module._malloc(bytes.byteLength);
  module.HEAPU8.set(bytes, pointer);
  use(pointer);
  module._free(pointer);
}

onmessage = async (event) => {
  const told = event.data;
  if (told.wasm) return begin(told.wasm);
  const module = await engine;
  if (told.file) module.FS.writeFile(told.file.name, told.file.bytes);
  if (told.listen) module._lampbeat_listen(told.listen);
  if (told.hear) {
    const bytes = new Uint8Array(told.hear.buffer);
    lend(module, bytes, (p) => module._lampbeat_hear(p, told.hear.length));
  }
  if (told.lookFrom) {
    const { width, height, fullRange } = told.lookFrom;
    module._lampbeat_look_from(width, height, fullRange ? 1 : 0);
  }
  if (told.look) {
    const { bytes, rgba, takenS } = told.look;
    const look = rgba ? module._lampbeat_look_rgba : module._lampbeat_look;
    lend(module, bytes, (p) => look(p, bytes.length, takenS));
  }
  if (told.ask) {
    const text = JSON.stringify(told.ask);
    const began = performance.now();
    const reply = JSON.parse(module.ccall("lampbeat_ask", "string", ["string"], [text]));
    postMessage({ id: told.id, tookMs: performance.now() - began, ...reply });
  } else if (told.id) {
    postMessage({ id: told.id, answer: module.ccall("lampbeat_version", "string", [], []) });
  }
};
