// The phone as the sensor: its camera, or a photodiode on its microphone input.

/** @type {{stop: () => void, kind: string} | undefined} */
let sensor;
let settledProfile = "";

/** @param {string} note */
const tellSensor = (note) => say(at("sensor-note"), note);

function insecure() {
  if (window.isSecureContext && navigator.mediaDevices) return false;
  tellSensor("This browser gives camera and microphone to pages from https or localhost only. The README of lampbeat says how to serve this page so.");
  return true;
}

/** @param {string} kind @param {MediaStream} stream @param {() => void} stop */
function beginSensor(kind, stream, stop) {
  sensor = { kind, stop: () => { stop(); stream.getTracks().forEach((track) => track.stop()); } };
  at("stop").hidden = false;
  at("take-light").hidden = true;
  at("report").hidden = at("waveform").hidden = true;
  at("measured").replaceChildren();
  document.documentElement.dataset.sensor = kind;
}

function endSensor() {
  sensor?.stop();
  sensor = undefined;
  at("stop").hidden = at("view").hidden = at("cycle").hidden = at("camera-fields").hidden = true;
  document.documentElement.dataset.sensor = "settled";
}

/** Asks again and again while a sensor runs, with a rest between. @param {string} kind @param {() => Promise<void>} read */
async function whileRunning(kind, read) {
  while (sensor?.kind === kind) {
    await new Promise((done) => setTimeout(done, 500));
    if (sensor?.kind !== kind) return;
    try {
      await read();
    } catch (error) {
      showTrouble(error);
    }
  }
}

/** @param {number[]} cycle */
function drawCycle(cycle) {
  at("cycle").hidden = !cycle.length;
  if (!cycle.length) return;
  const { context, width, height } = fineContext(at("cycle"));
  const top = Math.max(...cycle);
  const floor = Math.min(0, ...cycle);
  context.strokeStyle = colour("light");
  context.lineWidth = 2;
  context.beginPath();
  cycle.forEach((level, i) => {
    context.lineTo((i / (cycle.length - 1)) * width, height - 6 - ((level - floor) / (top - floor || 1)) * (height - 12));
  });
  context.stroke();
}

/** Runs in the sound's own thread: hands on what it hears. */
const listenerCode = `registerProcessor("listener", class extends AudioWorkletProcessor {
  constructor() { super(); this.kept = new Float32Array(4096); this.filled = 0; }
  process([input]) {
    if (!input[0]) return true;
    this.kept.set(input[0], this.filled);
    this.filled += input[0].length;
    if (this.filled === this.kept.length) { this.port.postMessage(this.kept.slice()); this.filled = 0; }
    return true;
  }
})`;

async function useMicrophone() {
  if (insecure()) return;
  endSensor();
  const stream = await navigator.mediaDevices.getUserMedia({
    audio: { echoCancellation: false, noiseSuppression: false, autoGainControl: false, channelCount: 1 },
  });
  const [track] = stream.getAudioTracks();
  const settings = track.getSettings();
  const context = new AudioContext(settings.sampleRate ? { sampleRate: settings.sampleRate } : {});
  const module = URL.createObjectURL(new Blob([listenerCode], { type: "text/javascript" }));
  await context.audioWorklet.addModule(module);
  const listener = new AudioWorkletNode(context, "listener", { numberOfOutputs: 0 });
  patient.tell({ listen: context.sampleRate });
  listener.port.onmessage = ({ data }) => patient.tell({ hear: data }, [data.buffer]);
  context.createMediaStreamSource(stream).connect(listener);
  beginSensor("microphone", stream, () => { context.close(); });
  const changedBy = [["echoCancellation", "echo cancelling"], ["noiseSuppression", "noise suppression"], ["autoGainControl", "gain control"]]
    .filter(([key]) => (/** @type {any} */ (settings))[key]).map(([, name]) => name);
  tellSensor(changedBy.length
    ? `This browser kept ${changedBy.join(" and ")} on, which changes what is heard: trust the frequency, not the depth.`
    : "Listening, with echo cancelling, noise suppression and gain control off.");
  whileRunning("microphone", async () => {
    const answer = await patient.ask("heard");
    if (!answer.reading || sensor?.kind !== "microphone") return;
    showFigures(at("measured"), answer.figures);
    at("report").hidden = false;
    say(at("report"), answer.text);
    drawCycle(answer.cycle);
  });
}

/** What rate lets the bands of a room's mains roll. */
const wishedRate = () => (Number(wish.mains) === 50 ? 30 : 25);

/** @param {any} track */
async function holdExposure(track) {
  const can = track.getCapabilities?.() ?? {};
  if (!can.exposureMode?.includes("manual") || !can.exposureTime) {
    return "This browser does not let a page hold the camera's exposure: bands are read all the same, their depth is not.";
  }
  const wished = 20; // in units of 100 µs: 1/500 s
  const exposureTime = Math.min(Math.max(wished, can.exposureTime.min), can.exposureTime.max);
  await track.applyConstraints({ advanced: [{ exposureMode: "manual", exposureTime }] });
  return `The camera's exposure is held at ${exposureTime / 10} ms.`;
}

/** Hands every picture's luma to the engine. @param {any} video @param {() => boolean} running */
function watch(video, running) {
  let size = "";
  const canvas = new OffscreenCanvas(1, 1);
  const begin = (/** @type {number} */ width, /** @type {number} */ height, /** @type {boolean} */ fullRange) => {
    const now = `${width} ${height} ${fullRange}`;
    if (now === size) return;
    size = now;
    patient.tell({ lookFrom: { width, height, fullRange } });
  };
  const colours = (/** @type {number} */ takenS) => {
    const { videoWidth: width, videoHeight: height } = video;
    Object.assign(canvas, { width, height });
    const context = /** @type {any} */ (canvas.getContext("2d", { willReadFrequently: true }));
    context.drawImage(video, 0, 0);
    const bytes = new Uint8Array(context.getImageData(0, 0, width, height).data.buffer);
    begin(width, height, true);
    patient.tell({ look: { bytes, rgba: true, takenS } }, [bytes.buffer]);
  };
  const luma = async (/** @type {number} */ takenS) => {
    const frame = new VideoFrame(video);
    try {
      if (!["I420", "NV12"].includes(frame.format ?? "")) return colours(takenS);
      const { width, height } = /** @type {DOMRectReadOnly} */ (frame.visibleRect);
      const all = new Uint8Array(frame.allocationSize());
      const [plane] = await frame.copyTo(all);
      const bytes = new Uint8Array(width * height);
      for (let y = 0; y < height; ++y) {
        bytes.set(all.subarray(plane.offset + y * plane.stride, plane.offset + y * plane.stride + width), y * width);
      }
      begin(width, height, Boolean(frame.colorSpace?.fullRange));
      patient.tell({ look: { bytes, takenS } }, [bytes.buffer]);
    } finally {
      frame.close();
    }
  };
  const next = (/** @type {number} */ _now, /** @type {any} */ about) => {
    if (!running()) return;
    video.requestVideoFrameCallback(next);
    const takenS = about.captureTime ? about.captureTime / 1000 : about.mediaTime;
    if (typeof VideoFrame === "function") luma(takenS).catch(showTrouble);
    else colours(takenS);
  };
  video.requestVideoFrameCallback(next);
}

async function useCamera() {
  if (insecure()) return;
  endSensor();
  const stream = await navigator.mediaDevices.getUserMedia({
    video: { width: { ideal: 640 }, height: { ideal: 480 }, frameRate: { ideal: wishedRate() }, facingMode: { ideal: "environment" } },
  });
  const [track] = stream.getVideoTracks();
  const held = await holdExposure(track).catch(() => "The camera did not take a fixed exposure.");
  const video = at("view");
  video.srcObject = stream;
  video.hidden = at("camera-fields").hidden = false;
  await video.play();
  beginSensor("camera", stream, () => { video.srcObject = null; });
  watch(video, () => sensor?.kind === "camera");
  tellSensor(`${held} Point it at a plain, evenly lit wall and hold it still.`);
  whileRunning("camera", async () => { await readCamera(held); });
}

/** @param {string} held */
async function readCamera(held) {
  const answer = await patient.ask("seen", { light_hz: at("light-hz").value, plain_wall: true });
  if (!answer.footage) return;
  showFigures(at("measured"), answer.figures);
  at("report").hidden = false;
  say(at("report"), answer.text);
  document.documentElement.dataset.cameraFps = String(answer.fps);
  const rate = `${answer.fps.toFixed(2)} frames a second arrive.`;
  const standing = answer.footage.roll_hz === null || Math.abs(answer.footage.roll_hz) < 0.05;
  const other = Math.abs(answer.fps - wishedRate()) > 0.5;
  tellSensor(standing && other
    ? `${held} ${rate} Bands that stand still here cannot be told from the wall: ${wishedRate()} frames a second would let them roll, which this camera did not give; the microphone input tells more.`
    : `${held} ${rate}`);
}

async function settle() {
  const kind = sensor?.kind;
  const camera = { light_hz: at("light-hz").value, plain_wall: true };
  endSensor();
  document.documentElement.dataset.sensor = "settling";
  if (kind === "microphone") {
    const answer = await patient.ask("heard", { whole: true });
    if (answer.measurement) {
      showMeasured(answer);
      settledProfile = answer.profile;
      at("take-light").hidden = false;
    }
  } else if (kind === "camera") {
    const answer = await patient.ask("seen", camera);
    if (answer.footage) {
      showFigures(at("measured"), answer.figures);
      say(at("report"), answer.text);
    }
  }
  document.documentElement.dataset.sensor = "settled";
}

function listenToSensors() {
  at("use-camera").addEventListener("click", () => useCamera().catch(showTrouble));
  at("use-microphone").addEventListener("click", () => useMicrophone().catch(showTrouble));
  at("stop").addEventListener("click", () => settle().catch(showTrouble));
  at("take-light").addEventListener("click", () => planWith(settledProfile));
}
