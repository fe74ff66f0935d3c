// Exposure against visibility, with a hand on the exposure.

/** @typedef {{at: number, exposure_s: number, label: string, visibility: number, verdict: string}} Point */

const strip = {
  count: 321,
  fromS: 1 / 4000,
  toS: 1 / 25,
  /** @type {(Point | undefined)[]} */ points: [],
  exposureS: 0.01,
  turn: new Latest(),
  coarseMs: 0,
  wholeMs: 0,
};

const lowest = 0.05;
const highest = 100;

/** @param {number} exposureS @param {number} width */
const acrossOf = (exposureS, width) =>
  (Math.log(exposureS / strip.fromS) / Math.log(strip.toS / strip.fromS)) * width;

function drawStrip() {
  const { context, width, height } = fineContext(at("strip"));
  const bottom = height - 40;
  const heightOf = (/** @type {number} */ visibility) => {
    const share = Math.log(Math.min(Math.max(visibility, lowest), highest) / lowest) / Math.log(highest / lowest);
    return bottom - 6 - share * (bottom - 14);
  };
  context.font = "12px sans-serif";
  context.textBaseline = "middle";
  for (const [edge, name] of /** @type {[number, string][]} */ ([[0.6, "0.6"], [1.6, "1.6"], [5, "5"]])) {
    context.strokeStyle = colour("rule");
    context.beginPath();
    context.moveTo(0, heightOf(edge));
    context.lineTo(width, heightOf(edge));
    context.stroke();
    context.fillStyle = colour("soft");
    context.fillText(name, 4, heightOf(edge) - 8);
  }
  const known = /** @type {Point[]} */ (strip.points.filter((point) => point));
  const apart = width / (strip.count - 1);
  for (const point of known) {
    const x = acrossOf(point.exposure_s, width);
    const tall = { clean: 16, borderline: 8 }[point.verdict] ?? 0;
    context.fillStyle = colour("full");
    context.fillRect(x - apart / 2, bottom - tall, apart + 0.5, tall);
  }
  context.strokeStyle = colour("light");
  context.lineWidth = 2;
  context.beginPath();
  known.forEach((point, i) => {
    const x = acrossOf(point.exposure_s, width);
    if (i) context.lineTo(x, heightOf(point.visibility));
    else context.moveTo(x, heightOf(point.visibility));
  });
  context.stroke();
  context.lineWidth = 1;
  context.fillStyle = colour("soft");
  context.textAlign = "center";
  let free = 16;
  for (const parts of [4000, 2000, 1000, 500, 250, 120, 60, 50, 40, 30, 25, 24]) {
    const x = acrossOf(1 / parts, width);
    if (1 / parts > strip.toS * 1.001 || x < free || x > width - 16) continue;
    context.fillText(`1/${parts}`, x, bottom + 12);
    free = x + 42;
  }
  const half = acrossOf(strip.toS / 2, width);
  context.fillText("180°", half, bottom + 30);
  context.strokeStyle = colour("soft");
  context.beginPath();
  context.moveTo(half, bottom);
  context.lineTo(half, bottom + 20);
  context.stroke();
  const here = acrossOf(strip.exposureS, width);
  context.fillStyle = colour("ink");
  context.fillRect(here - 1.5, 0, 3, bottom);
  context.beginPath();
  context.arc(Math.min(Math.max(here, 9), width - 9), 9, 9, 0, 2 * Math.PI);
  context.fill();
}

/** @param {Point[]} points */
function keepPoints(points) {
  for (const point of points) strip.points[point.at] = point;
  drawStrip();
}

/** A coarse strip at once, the whole one piece by piece, so that a hand never waits. @param {Wish} wish */
async function readStrip(wish) {
  const current = strip.turn.begin();
  const began = performance.now();
  delete at("strip").dataset.wholeMs;
  const coarse = 20;
  const ask = (/** @type {object} */ which) => quick.ask("strip", { ...wish, count: strip.count, ...which });
  const first = await ask({ first: 0, every: coarse });
  if (!current()) return;
  strip.points = new Array(strip.count);
  strip.fromS = first.from_s;
  strip.toS = first.to_s;
  keepPoints(first.points);
  strip.coarseMs = performance.now() - began;
  for (let from = 0; from < strip.count; from += coarse) {
    const more = await ask({ first: from + 1, until: from + coarse, every: 1 });
    if (!current()) return;
    keepPoints(more.points);
  }
  strip.wholeMs = performance.now() - began;
  at("strip").dataset.points = String(strip.points.filter((point) => point).length);
  at("strip").dataset.coarseMs = strip.coarseMs.toFixed(0);
  at("strip").dataset.wholeMs = strip.wholeMs.toFixed(0);
}

function indexHere() {
  return Math.round(acrossOf(strip.exposureS, strip.count - 1));
}

/** @param {number} index @param {(shutter: string) => void} set */
async function setIndex(index, set) {
  const wanted = Math.min(Math.max(index, 0), strip.count - 1);
  const point = strip.points[wanted];
  if (point) set(point.label);
}

/** The middles of the clean islands. */
function islands() {
  /** @type {number[]} */
  const middles = [];
  let from = -1;
  for (let i = 0; i <= strip.count; ++i) {
    const clean = strip.points[i]?.verdict === "clean";
    if (clean && from < 0) from = i;
    if (!clean && from >= 0) {
      middles.push(Math.round((from + i - 1) / 2));
      from = -1;
    }
  }
  return middles;
}

/** @param {(shutter: string) => void} set */
function listenToStrip(set) {
  const canvas = at("strip");
  const point = (/** @type {PointerEvent} */ event) => {
    const box = canvas.getBoundingClientRect();
    setIndex(Math.round(((event.clientX - box.left) / box.width) * (strip.count - 1)), set);
  };
  canvas.addEventListener("pointerdown", (/** @type {PointerEvent} */ event) => {
    canvas.setPointerCapture(event.pointerId);
    point(event);
  });
  canvas.addEventListener("pointermove", (/** @type {PointerEvent} */ event) => {
    if (event.buttons) point(event);
  });
  canvas.addEventListener("keydown", (/** @type {KeyboardEvent} */ event) => {
    const here = indexHere();
    const next = {
      ArrowLeft: () => here - 1, ArrowDown: () => here - 1,
      ArrowRight: () => here + 1, ArrowUp: () => here + 1,
      Home: () => 0, End: () => strip.count - 1,
      PageDown: () => islands().findLast((i) => i < here) ?? here,
      PageUp: () => islands().find((i) => i > here) ?? here,
    }[event.key];
    if (!next) return;
    event.preventDefault();
    setIndex(next(), set);
  });
}
