// Files that are opened or dropped: the engine reads tables, plain WAV and profiles; the browser
// decodes other sound, which then goes on as WAV with the very same samples.

/** @param {DataView} view @param {number} at @param {string} text */
function writeText(view, at, text) {
  [...text].forEach((letter, i) => view.setUint8(at + i, letter.charCodeAt(0)));
}

/** @param {Float32Array[]} channels @param {number} rateHz @param {number} bits 16, 24, or 32 for floating numbers */
function waveOf(channels, rateHz, bits) {
  const bytes = bits / 8;
  const frame = bytes * channels.length;
  const frames = channels[0].length;
  const view = new DataView(new ArrayBuffer(44 + frames * frame));
  writeText(view, 0, "RIFF");
  view.setUint32(4, 36 + frames * frame, true);
  writeText(view, 8, "WAVEfmt ");
  view.setUint32(16, 16, true);
  view.setUint16(20, bits === 32 ? 3 : 1, true);
  view.setUint16(22, channels.length, true);
  view.setUint32(24, rateHz, true);
  view.setUint32(28, rateHz * frame, true);
  view.setUint16(32, frame, true);
  view.setUint16(34, bits, true);
  writeText(view, 36, "data");
  view.setUint32(40, frames * frame, true);
  const scale = 2 ** (bits - 1);
  for (let i = 0, at = 44; i < frames; ++i) {
    for (const channel of channels) {
      const step = Math.round(channel[i] * scale);
      if (bits === 32) view.setFloat32(at, channel[i], true);
      else if (bits === 16) view.setInt16(at, step, true);
      else {
        view.setInt16(at + 1, step >> 8, true);
        view.setUint8(at, step & 0xff);
      }
      at += bytes;
    }
  }
  return new Uint8Array(view.buffer);
}

/** Rate and bits as a FLAC file's first block has them (RFC 9639, section 8.2). @param {Uint8Array} bytes */
function flacLayout(bytes) {
  const rateHz = (bytes[18] << 12) | (bytes[19] << 4) | (bytes[20] >> 4);
  const bits = (((bytes[20] & 1) << 4) | (bytes[21] >> 4)) + 1;
  return { rateHz, bits: bits <= 16 ? 16 : 24 };
}

/** @param {Uint8Array} bytes @param {string} name */
async function readable(bytes, name) {
  const mark = String.fromCharCode(...bytes.subarray(0, 4));
  const coded = mark === "fLaC" || mark === "OggS" || mark.startsWith("ID3") || /\.(mp3|m4a|aac|opus)$/i.test(name);
  if (!coded) return bytes;
  const { rateHz, bits } = mark === "fLaC" ? flacLayout(bytes) : { rateHz: 48000, bits: 32 };
  const context = new OfflineAudioContext(1, 1, rateHz);
  const sound = await context.decodeAudioData(bytes.slice().buffer);
  const channels = Array.from({ length: sound.numberOfChannels }, (_, i) => sound.getChannelData(i));
  return waveOf(channels, rateHz, bits);
}

/** @param {any} answer what the engine measured */
function showMeasured(answer) {
  showFigures(at("measured"), answer.figures);
  at("report").hidden = false;
  say(at("report"), answer.text);
  at("waveform").hidden = !answer.waveform;
  at("waveform").innerHTML = answer.waveform;
}

/** @param {string} profile */
function planWith(profile) {
  wish.lights = [{ profile: JSON.stringify(JSON.parse(profile)), share: 1 }];
  changed();
  showLights();
}

/** @param {File} file */
async function openFile(file) {
  const name = file.name.replaceAll("/", "_").replace(/^-/, "_");
  try {
    const bytes = await readable(new Uint8Array(await file.arrayBuffer()), name);
    const answer = await patient.ask("open", { name }, { file: { name, bytes } });
    showTrouble(null);
    if (answer.measurement) showMeasured(answer);
    planWith(answer.profile);
    document.documentElement.dataset.opened = file.name;
  } catch (error) {
    showTrouble(error);
    document.documentElement.dataset.opened = file.name;
  }
}

function listenToFiles() {
  at("open").addEventListener("change", () => {
    const [file] = at("open").files;
    if (file) openFile(file);
    at("open").value = "";
  });
  addEventListener("dragover", (event) => {
    event.preventDefault();
    document.body.classList.add("dropping");
  });
  addEventListener("dragleave", () => document.body.classList.remove("dropping"));
  addEventListener("drop", (event) => {
    event.preventDefault();
    document.body.classList.remove("dropping");
    const file = event.dataTransfer?.files[0];
    if (file) openFile(file);
  });
}
