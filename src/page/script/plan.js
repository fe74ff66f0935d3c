// The plan: controls, what they are set to, and what the engine says of that.

const rates = ["23.976", "24", "25", "29.97", "30", "48", "50", "59.94", "60", "100", "119.88", "120"];
const stops = ["1/24", "1/25", "1/30", "1/40", "1/48", "1/50", "1/60", "1/80", "1/100", "1/120", "1/125",
  "1/160", "1/200", "1/250", "1/320", "1/400", "1/500", "1/640", "1/800", "1/1000", "1/1600", "1/2000", "1/4000",
  "360deg", "180deg", "172.8deg", "144deg", "90deg", "45deg"];

/** @type {{name: string, description: string}[]} */
let typicals = [];
const predictions = new Latest();
let roomShown = "";
/** @type {any} */ let mapTimer;

/** @param {string[]} values @param {string} [first] */
function optionsOf(values, first) {
  const all = values.map((value) => new Option(value, value));
  return first === undefined ? all : [new Option(first, ""), ...all];
}

/** One line of the list of lights. @param {LightWish} light @param {number} i */
function lightRow(light, i) {
  const row = document.createElement("div");
  row.className = "light";
  const kind = document.createElement("select");
  kind.append(...typicals.map(({ name }) => new Option(name, `typical:${name}`)), new Option("known by its frequency alone", "hz"));
  if (light.profile !== undefined) kind.append(new Option(nameOfProfile(light.profile), "profile"));
  kind.value = light.typical ? `typical:${light.typical}` : light.profile !== undefined ? "profile" : "hz";
  const kindLabel = document.createElement("label");
  kindLabel.append(`light ${i + 1}`, kind);
  kind.addEventListener("change", () => {
    const share = light.share;
    if (kind.value === "profile") return;
    wish.lights[i] = kind.value === "hz" ? { hz: "120", share } : { typical: kind.value.slice(8), share };
    changed();
    showLights();
  });
  row.append(kindLabel);
  const number = (/** @type {string} */ name, /** @type {string} */ value, /** @type {(value: string) => void} */ set) => {
    const label = document.createElement("label");
    const input = document.createElement("input");
    input.inputMode = "decimal";
    input.value = value;
    input.addEventListener("change", () => { set(input.value); changed(); });
    label.append(name, input);
    row.append(label);
  };
  if (light.hz !== undefined) number("Hz", light.hz, (hz) => { light.hz = hz; });
  if (wish.lights.length > 1) {
    number("share", String(light.share), (share) => { if (Number(share) > 0) light.share = Number(share); });
    const away = document.createElement("button");
    away.type = "button";
    away.textContent = "Remove";
    away.setAttribute("aria-label", `Remove light ${i + 1}`);
    away.addEventListener("click", () => { wish.lights.splice(i, 1); changed(); showLights(); });
    row.append(away);
  }
  const what = document.createElement("p");
  what.className = "what";
  what.textContent = typicals.find(({ name }) => name === light.typical)?.description ?? "";
  if (what.textContent) row.append(what);
  return row;
}

/** @param {string} profile */
function nameOfProfile(profile) {
  try {
    return JSON.parse(profile).name || "a measured light";
  } catch {
    return "a light profile";
  }
}

function showLights() {
  const [legend] = at("lights").children;
  at("lights").replaceChildren(legend, ...wish.lights.map(lightRow));
}

function showControls() {
  for (const key of /** @type {const} */ (["fps", "shutter", "readout"])) {
    if (document.activeElement !== at(key)) at(key).value = wish[key];
  }
  if (![...at("mains").options].some((/** @type {HTMLOptionElement} */ o) => o.value === wish.mains)) {
    at("mains").append(new Option(`${wish.mains} Hz`, wish.mains));
  }
  at("mains").value = wish.mains;
  at("dial").value = stops.includes(wish.shutter) ? wish.shutter : "";
}

/** @param {any} answer */
function showPrediction(answer) {
  const { prediction } = answer;
  at("tile").innerHTML = answer.tile;
  say(at("shot"), answer.shot);
  say(at("headline"), answer.headline);
  say(at("under"), answer.under);
  showFigures(at("figures"), answer.figures);
  showSentences(at("advice"), prediction.advice);
  showSentences(at("findings"), prediction.warnings.map((/** @type {any} */ w) => w.message));
  moving.still = answer.wall;
  moving.steady = answer.steady;
  if (!moving.on) standStill();
  strip.exposureS = prediction.exposure_s;
  const slider = at("strip");
  slider.setAttribute("aria-valuemin", "0");
  slider.setAttribute("aria-valuemax", String(strip.count - 1));
  slider.setAttribute("aria-valuenow", String(indexHere()));
  slider.setAttribute("aria-valuetext", `${wish.shutter}, ${prediction.worst.verdict}`);
  drawStrip();
}

async function show() {
  const current = predictions.begin();
  const asked = structuredClone(wish);
  try {
    const answer = await quick.ask("predict", asked);
    if (!current()) return;
    showTrouble(null);
    showPrediction(answer);
    document.documentElement.dataset.tookMs = String(quick.tookMs);
    if (moving.on) await readMoving(asked);
    if (!current()) return;
    if (roomOf(asked) !== roomShown) {
      roomShown = roomOf(asked);
      readStrip(asked).catch(showTrouble);
      clearTimeout(mapTimer);
      mapTimer = setTimeout(() => showMap(asked), 300);
    }
    document.documentElement.dataset.state = "ready";
    document.documentElement.dataset.shown = addressOf(asked);
  } catch (error) {
    if (!current()) return;
    showNothing();
    showTrouble(error);
    document.documentElement.dataset.state = "ready";
  }
}

/** What cannot be set has no verdict, and no old one stays. */
function showNothing() {
  at("tile").textContent = "";
  say(at("shot"), "");
  say(at("headline"), "No such shot");
  say(at("under"), "");
  for (const list of ["figures", "advice", "findings"]) at(list).replaceChildren();
  standStill();
}

/** @type {{drawing: boolean, wanted?: Wish}} */
const map = { drawing: false };

/** One map at a time, of the latest wish: each takes seconds on a phone. @param {Wish} asked */
async function showMap(asked) {
  map.wanted = asked;
  if (map.drawing) return;
  map.drawing = true;
  while (map.wanted) {
    const now = map.wanted;
    map.wanted = undefined;
    try {
      const { svg } = await patient.ask("map", now);
      if (!map.wanted) at("map").innerHTML = svg;
    } catch {
      at("map").textContent = "";
    }
  }
  map.drawing = false;
}

/** After a control has changed the wish. */
function changed() {
  history.replaceState(null, "", addressOf(wish));
  showControls();
  show();
}

/** @param {any} frame */
function printFrame(frame) {
  frame.contentWindow.print();
}

async function printCard() {
  const button = at("print-card");
  button.disabled = true;
  try {
    const list = at("card-rates").value.split(/[,;\s]+/).filter(Boolean);
    const { html } = await patient.ask("card", { ...wish, rates: list });
    const frame = at("card");
    frame.hidden = false;
    frame.style.cssText = "position:fixed;width:1px;height:1px;opacity:0;border:0";
    frame.onload = () => printFrame(frame);
    frame.srcdoc = html;
    showTrouble(null);
  } catch (error) {
    showTrouble(error);
  }
  button.disabled = false;
}

async function copyAddress() {
  const text = location.href;
  try {
    await navigator.clipboard.writeText(text);
    say(at("copied"), "Copied: whoever opens it sees this setting.");
  } catch {
    say(at("copied"), text);
  }
}

/** @param {string} shutter */
function setShutter(shutter) {
  wish.shutter = shutter;
  changed();
}

function listenToControls() {
  for (const key of /** @type {const} */ (["fps", "shutter", "readout", "mains"])) {
    const control = at(key);
    control.addEventListener(control.tagName === "SELECT" ? "change" : "input", () => {
      wish[key] = control.value.trim();
      changed();
    });
  }
  at("dial").addEventListener("change", () => { if (at("dial").value) setShutter(at("dial").value); });
  at("add-light").addEventListener("click", () => {
    wish.lights.push({ typical: typicals[0].name, share: 1 });
    changed();
    showLights();
  });
  at("move").addEventListener("click", () => toggleMotion().catch(showTrouble));
  at("print-card").addEventListener("click", printCard);
  at("copy").addEventListener("click", copyAddress);
  listenToStrip(setShutter);
  lessMotion.addEventListener("change", respectMotion);
  addEventListener("resize", drawStrip);
  matchMedia("(prefers-color-scheme: dark)").addEventListener("change", drawStrip);
  addEventListener("hashchange", () => {
    wish = readAddress(location.hash);
    showControls();
    showLights();
    show();
  });
}

async function start() {
  at("rates").append(...optionsOf(rates));
  at("dial").append(...optionsOf(stops, "finely set"));
  [typicals] = [await quick.ask("typical")];
  at("version").textContent = await quick.request({});
  if (!location.hash) history.replaceState(null, "", addressOf(wish));
  respectMotion();
  listenToControls();
  listenToFiles();
  listenToSensors();
  showControls();
  showLights();
  await show();
}
