// Figures and sentences of the engine, put on the page.

/** @param {HTMLElement} list @param {{key: string, name: string, value: any, words: string}[]} figures */
function showFigures(list, figures) {
  list.replaceChildren(...figures.map(({ key, name, value, words }) => {
    const row = document.createElement("div");
    const term = document.createElement("dt");
    term.textContent = name;
    const said = document.createElement("dd");
    said.textContent = words;
    said.dataset.figure = key;
    said.dataset.value = value === null ? "" : String(value);
    if (value === null) said.className = "absent";
    row.append(term, said);
    return row;
  }));
}

/** @param {HTMLElement} list @param {string[]} sentences */
function showSentences(list, sentences) {
  list.replaceChildren(...sentences.map((sentence) => {
    const item = document.createElement("li");
    item.textContent = sentence;
    return item;
  }));
}

/** Leaves what says the same alone, so that nobody hears it twice. @param {HTMLElement} element @param {string} text */
function say(element, text) {
  if (element.textContent !== text) element.textContent = text;
}

/** @param {unknown} error */
function showTrouble(error) {
  const text = error instanceof Error ? error.message : "";
  say(at("trouble"), text);
  at("trouble").hidden = !text;
}

/** @param {string} name a colour of the style sheet */
const colour = (name) => getComputedStyle(document.documentElement).getPropertyValue(`--${name}`).trim();

/** A canvas as fine as the screen. @param {HTMLCanvasElement} canvas */
function fineContext(canvas) {
  const fine = window.devicePixelRatio || 1;
  const { clientWidth: width, clientHeight: height } = canvas;
  if (canvas.width !== Math.round(width * fine)) canvas.width = Math.round(width * fine);
  if (canvas.height !== Math.round(height * fine)) canvas.height = Math.round(height * fine);
  const context = /** @type {CanvasRenderingContext2D} */ (canvas.getContext("2d"));
  context.setTransform(fine, 0, 0, fine, 0, 0);
  context.clearRect(0, 0, width, height);
  return { context, width, height };
}
