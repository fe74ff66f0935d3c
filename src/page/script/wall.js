// The wall: still, until somebody asks for it to move.

/** @param {number[]} greys of its rows @param {number} steady of the same wall in steady light */
function drawWall(greys, steady) {
  const canvas = at("wall");
  const context = canvas.getContext("2d");
  const half = Math.round(canvas.width / 2);
  greys.forEach((grey, y) => {
    context.fillStyle = `rgb(${grey} ${grey} ${grey})`;
    context.fillRect(0, y, half - 4, 1);
  });
  context.fillStyle = "rgb(20 20 20)";
  context.fillRect(half - 4, 0, 8, canvas.height);
  context.fillStyle = `rgb(${steady} ${steady} ${steady})`;
  context.fillRect(half + 4, 0, half, canvas.height);
}

const moving = {
  /** @type {number[][]} */ frames: [],
  shownPerS: 1,
  on: false,
  steady: 0,
  /** @type {number[]} */ still: [],
  began: 0,
};

/** @param {number} now */
function drawMoving(now) {
  if (!moving.on) return;
  if (moving.frames.length) {
    const frame = Math.floor(((now - moving.began) / 1000) * moving.shownPerS) % moving.frames.length;
    drawWall(moving.frames[frame], moving.steady);
  }
  requestAnimationFrame(drawMoving);
}

/** @param {Wish} wish */
async function readMoving(wish) {
  const wall = await quick.ask("moving", wish);
  moving.frames = wall.frames;
  moving.shownPerS = wall.shown_per_s;
  const slowed = wall.slowed > 1.05 ? ` Shown ${wall.slowed.toFixed(1)} times slower than filmed.` : "";
  say(at("wall-note"), `Left: the wall as the frames follow each other. Right: the same in steady light.${slowed}`);
}

function standStill() {
  moving.on = false;
  at("move").setAttribute("aria-pressed", "false");
  say(at("move"), "Let it move");
  say(at("wall-note"), "Left: one frame of a plain wall. Right: the same in steady light.");
  if (moving.still.length) drawWall(moving.still, moving.steady);
}

const lessMotion = matchMedia("(prefers-reduced-motion: reduce)");

function respectMotion() {
  at("move").disabled = lessMotion.matches;
  at("move").title = lessMotion.matches ? "Your system asks for less motion." : "";
  if (lessMotion.matches) standStill();
}

async function toggleMotion() {
  if (moving.on) return standStill();
  moving.on = true;
  at("move").setAttribute("aria-pressed", "true");
  say(at("move"), "Stand still");
  await readMoving(wish);
  moving.began = performance.now();
  requestAnimationFrame(drawMoving);
}
