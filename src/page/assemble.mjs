// Puts the page together out of its parts:
//   node assemble.mjs OUT PAGE WASM [PLACE FILE...]...
// PLACE is STYLE, ENGINE or SCRIPT: where in the page the files after it go, one behind the other. The engine's
// WebAssembly goes in packed, as browsers unpack it again (gzip, RFC 1952).
import { readFileSync, renameSync, writeFileSync } from "node:fs";
import { gzipSync } from "node:zlib";

const [out, pageFile, wasmFile, ...rest] = process.argv.slice(2);
const parts = { WASM: gzipSync(readFileSync(wasmFile), { level: 9 }).toString("base64") };
let place = "";
for (const word of rest) {
  if (/^[A-Z]+$/.test(word)) {
    place = word;
    parts[place] = "";
  } else {
    parts[place] += readFileSync(word, "utf8") + "\n";
  }
}
const page = readFileSync(pageFile, "utf8").replace(/@([A-Z]+)@/g, (whole, name) => parts[name] ?? whole);
if (parts.ENGINE.includes("</script") || parts.SCRIPT.includes("</script")) throw new Error("a script would end early");
writeFileSync(`${out}.new`, page);
renameSync(`${out}.new`, out);
