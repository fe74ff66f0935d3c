// What is set, and the address that says so.

/** @typedef {{typical?: string, hz?: string, profile?: string, share: number}} LightWish */
/** @typedef {{fps: string, shutter: string, readout: string, mains: string, lights: LightWish[]}} Wish */

/** @returns {Wish} */
const usual = () => ({
  fps: "25", shutter: "1/100", readout: "16ms", mains: "60",
  lights: [{ typical: "tube-magnetic", share: 1 }],
});

/** @param {string} text @returns {[string, number]} */
function withShare(text) {
  const found = /^(.*):([0-9.]+)$/.exec(text);
  return found && Number(found[2]) > 0 ? [found[1], Number(found[2])] : [text, 1];
}

/** @param {string} address @returns {Wish} */
function readAddress(address) {
  const wish = usual();
  if (address.length > 1) wish.readout = wish.mains = "";
  /** @type {LightWish[]} */
  const lights = [];
  for (const [key, value] of new URLSearchParams(address.replace(/^#/, "").replaceAll("+", "%2B"))) {
    if (key === "fps" || key === "shutter" || key === "readout" || key === "mains") wish[key] = value;
    if (key === "typical") {
      const [typical, share] = withShare(value);
      lights.push({ typical, share });
    }
    if (key === "light-hz") {
      const [hz, share] = withShare(value);
      lights.push({ hz, share });
    }
    if (key === "profile") lights.push({ profile: value, share: 1 });
    const last = lights.at(-1);
    if (key === "share" && last && Number(value) > 0) last.share = Number(value);
  }
  if (lights.length) wish.lights = lights;
  return wish;
}

/** @param {Wish} wish */
function addressOf(wish) {
  const plain = (/** @type {string} */ text) =>
    encodeURIComponent(text).replaceAll("%2F", "/").replaceAll("%3A", ":").replaceAll("%C2%B0", "°");
  const parts = [`fps=${plain(wish.fps)}`, `shutter=${plain(wish.shutter)}`];
  if (wish.readout) parts.push(`readout=${plain(wish.readout)}`);
  if (wish.mains) parts.push(`mains=${plain(wish.mains)}`);
  for (const light of wish.lights) {
    const share = light.share === 1 ? "" : `:${light.share}`;
    if (light.typical) parts.push(`typical=${plain(light.typical)}${share}`);
    else if (light.profile !== undefined) {
      parts.push(`profile=${encodeURIComponent(light.profile)}`);
      if (share) parts.push(`share=${light.share}`);
    } else parts.push(`light-hz=${plain(light.hz ?? "")}${share}`);
  }
  return `#${parts.join("&")}`;
}

/** All but the shutter: what strip and map hang on. @param {Wish} wish */
const roomOf = (wish) => JSON.stringify({ ...wish, shutter: "" });

/** @type {Wish} */
let wish = readAddress(location.hash);
