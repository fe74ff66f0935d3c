// The engine's workers: one for what a finger waits for, one for what may take its time.

/** @param {string} id @returns {any} the element of this id, whatever it is */
const at = (id) => document.getElementById(id);

/** The engine, unpacked and compiled once for both workers. @returns {Promise<WebAssembly.Module>} */
async function compiled() {
  const packed = Uint8Array.from(atob(at("wasm").textContent), (letter) => letter.charCodeAt(0));
  const bytes = new Blob([packed]).stream().pipeThrough(new DecompressionStream("gzip"));
  return WebAssembly.compile(await new Response(bytes).arrayBuffer());
}

class Engine {
  /** @param {Promise<WebAssembly.Module>} wasm */
  constructor(wasm) {
    const address = URL.createObjectURL(new Blob([at("engine").textContent], { type: "text/javascript" }));
    this.worker = new Worker(address);
    wasm.then((module) => this.tell({ wasm: module }), showTrouble);
    this.last = 0;
    /** @type {Map<number, {done: (answer: any) => void, failed: (error: Error) => void}>} */
    this.waiting = new Map();
    this.worker.onmessage = ({ data }) => {
      const waiter = this.waiting.get(data.id);
      this.waiting.delete(data.id);
      if (!waiter) return;
      this.tookMs = data.tookMs;
      if (data.error !== undefined) waiter.failed(new Error(data.error));
      else waiter.done(data.answer);
    };
  }

  /** @param {object} message @param {Transferable[]} [moved] */
  tell(message, moved = []) {
    this.worker.postMessage(message, moved);
  }

  /** @param {object} message @returns {Promise<any>} */
  request(message) {
    const id = ++this.last;
    return new Promise((done, failed) => {
      this.waiting.set(id, { done, failed });
      this.tell({ id, ...message });
    });
  }

  /** @param {string} what @param {object} [question] @param {object} [more] */
  ask(what, question = {}, more = {}) {
    return this.request({ ask: { ask: what, ...question }, ...more });
  }
}

/** The answer to the latest question of its kind alone; earlier ones come to nothing. */
class Latest {
  constructor() {
    this.turn = 0;
  }
  begin() {
    const mine = ++this.turn;
    return () => mine === this.turn;
  }
}

const wasm = compiled();
const quick = new Engine(wasm);
const patient = new Engine(wasm);
