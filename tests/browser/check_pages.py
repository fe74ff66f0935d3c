#!/usr/bin/env python3
"""Opens pages in a headless browser and looks at them as a careful reader would.

    check_pages.py CHROMEDRIVER PAGE.html...

Only the standard library: chromedriver is spoken to over HTTP (W3C WebDriver; the browser's own
DevTools commands go through its goog/cdp/execute endpoint). Prints one line per fault and exits with
1 when there is any; with 77 when the browser cannot be started.
"""

import base64
import json
import os
import re
import shutil
import socket
import subprocess
import sys
import tempfile
import time
import urllib.error
import urllib.request
from pathlib import Path

# Runs in the page: everything that reaches beyond the page's width, is too faint to read (WCAG 2.1,
# success criterion 1.4.3 and its definitions of relative luminance and contrast ratio), or is out
# of order (headings, landmark, names of drawings).
LOOK = r"""
const faults = [];
const root = document.documentElement;
if (root.scrollWidth > root.clientWidth) {
  faults.push(`page is ${root.scrollWidth} wide in a window of ${root.clientWidth}`);
}
const hidden = e => e.closest('.sr, thead') && getComputedStyle(e.closest('.sr, thead')).position === 'absolute';
for (const e of document.querySelectorAll('main *')) {
  const box = e.getBoundingClientRect();
  if (box.width && !hidden(e) && box.right > root.clientWidth + 1) {
    faults.push(`${e.tagName}.${e.getAttribute('class') || ''} reaches ${Math.round(box.right)}`);
    break;
  }
}
const channel = c => (c /= 255) <= 0.03928 ? c / 12.92 : ((c + 0.055) / 1.055) ** 2.4;
const luminance = c => 0.2126 * channel(c[0]) + 0.7152 * channel(c[1]) + 0.0722 * channel(c[2]);
const parse = s => (s.match(/[\d.]+/g) || [0, 0, 0, 0]).map(Number);
const ground = e => {
  for (; e; e = e.parentElement) {
    const c = parse(getComputedStyle(e).backgroundColor);
    if (c.length === 3 || c[3] === 1) return c;
  }
  return [255, 255, 255];
};
const seen = new Set();
let judged = 0;
const walker = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
while (walker.nextNode()) {
  const e = walker.currentNode.parentElement;
  if (!walker.currentNode.data.trim() || e.closest('style, title, desc') || !e.getClientRects().length) continue;
  const style = getComputedStyle(e);
  const ink = parse(e.closest('svg') ? style.fill : style.color);
  const paper = ground(e);
  const [a, b] = [luminance(ink), luminance(paper)].sort((x, y) => y - x);
  const ratio = (a + 0.05) / (b + 0.05);
  ++judged;
  const key = `${ink} on ${paper}`;
  if (ratio < 4.5 && !seen.has(key)) {
    seen.add(key);
    faults.push(`contrast ${ratio.toFixed(2)} (${key}) of "${walker.currentNode.data.trim().slice(0, 30)}"`);
  }
}
// Text inside its box: no letter beyond the edges of the block it stands in, of its drawing, or of
// anything around it that has a border or a ground of its own.
const boxOf = e => {
  while (getComputedStyle(e).display.startsWith('inline') || getComputedStyle(e).display === 'contents') e = e.parentElement;
  return e;
};
const opaque = s => (x => x.length === 3 || x[3] > 0)(parse(s));
const isFramed = style => ['Top', 'Right', 'Bottom', 'Left'].every(
  s => parseFloat(style[`border${s}Width`]) > 0 && style[`border${s}Style`] !== 'none' && opaque(style[`border${s}Color`]));
const isBox = e => (style => isFramed(style) || opaque(style.backgroundColor) || style.boxShadow !== 'none')(getComputedStyle(e));
const around = e => {
  const boxes = [e.closest('svg') || boxOf(e)];
  for (let up = e; up && up.tagName !== 'MAIN'; up = up.parentElement) if (isBox(up)) boxes.push(up);
  return boxes;
};
const texts = document.createTreeWalker(document.querySelector('main'), NodeFilter.SHOW_TEXT);
const cut = new Set();
while (texts.nextNode()) {
  const node = texts.currentNode, e = node.parentElement;
  if (!node.data.trim() || e.closest('title, desc, style') || !e.getClientRects().length || hidden(e) || e.closest('.sr')) continue;
  const svg = e.closest('svg');
  const walls_of_all = around(e).map(x => x.getBoundingClientRect());
  const edges = {left: Math.max(...walls_of_all.map(b => b.left)), right: Math.min(...walls_of_all.map(b => b.right))};
  const range = document.createRange();
  range.selectNodeContents(node);
  for (const r of svg ? [e.getBoundingClientRect()] : range.getClientRects()) {
    if (r.width && (r.left < edges.left - 1 || r.right > edges.right + 1) && !cut.has(node.data)) {
      cut.add(node.data);
      faults.push(`"${node.data.trim().slice(0, 30)}" is ${Math.round(r.width)} wide in a box of ${Math.round(edges.right - edges.left)}`);
    }
    const tile = e.closest('.card-table td > div');
    const walls = tile && tile.getBoundingClientRect();
    if (walls && (r.top < walls.top - 1 || r.bottom > walls.bottom + 1) && !cut.has(node.data)) {
      cut.add(node.data);
      faults.push(`"${node.data.trim().slice(0, 30)}" reaches above or below its tile`);
    }
  }
}
// No empty box: what has a border all round or a ground of its own holds words or a drawing, and a
// grid with a ground of its own is filled by its cells.
for (const e of document.querySelectorAll('main *:not(svg *)')) {
  const style = getComputedStyle(e), box = e.getBoundingClientRect();
  if (box.width < 12 || box.height < 12 || hidden(e) || e.closest('svg, img')) continue;
  const boxed = isBox(e);
  if (boxed && !e.innerText.trim() && !e.querySelector('svg, img') && !e.matches('svg, img')) {
    faults.push(`an empty box: ${e.tagName}.${e.getAttribute('class') || ''}`);
  }
  if (boxed && style.display === 'grid') {
    const filled = [...e.children].reduce((sum, x) => sum + x.getBoundingClientRect().width * x.getBoundingClientRect().height, 0);
    if (filled < 0.95 * box.width * box.height) faults.push(`cells left empty in ${e.tagName}.${e.getAttribute('class') || ''}`);
  }
}
// A card is read from two metres: capitals of 3 mm are five minutes of arc there, what a sound eye
// resolves; with the usual handful of frame rates there is room for more.
if (document.body.classList.contains('card') && matchMedia('print').matches) {
  const rows = document.querySelectorAll('.card-table tbody tr').length;
  const least = rows > 8 ? 16 : 20;
  for (const e of document.querySelectorAll('.card-table tbody th, .card-table td.safe:not(.long) b')) {
    const size = parseFloat(getComputedStyle(e).fontSize);
    if (size < least) { faults.push(`"${e.innerText}" in letters of ${size.toFixed(1)} px with ${rows} rows`); break; }
  }
}
if (judged < 5) faults.push('hardly any text to judge');
if (!document.documentElement.lang) faults.push('no lang');
if (!document.title.trim()) faults.push('no title');
if (document.title === 'run' || window.ran) faults.push('a script from the data ran');
if (document.querySelectorAll('main').length !== 1) faults.push('not exactly one main landmark');
if (document.querySelectorAll('h1').length !== 1) faults.push('not exactly one h1');
if (document.querySelectorAll('script').length) faults.push('a script element');
let level = 0;
for (const h of document.querySelectorAll('h1,h2,h3,h4')) {
  const now = Number(h.tagName[1]);
  if (now > level + 1) faults.push(`heading ${h.tagName} follows level ${level}`);
  level = now;
}
for (const svg of document.querySelectorAll('svg')) {
  const named = svg.getAttribute('role') === 'img' && svg.querySelector(':scope > title') &&
                svg.querySelector(':scope > desc');
  if (!named && svg.getAttribute('aria-hidden') !== 'true') faults.push('an unnamed drawing');
}
for (const image of document.querySelectorAll('img')) {
  if (!image.alt) faults.push('a picture without words');
  if (!image.naturalWidth) faults.push('a picture that does not show');
}
const ids = [...document.querySelectorAll('[id]')].map(e => e.id);
if (new Set(ids).size !== ids.length) faults.push('an id used twice');
for (const e of document.querySelectorAll('*')) {
  for (const a of e.attributes) {
    if (/^on/i.test(a.name)) faults.push(`an event handler ${a.name}`);
  }
}
return faults;
"""

# (name, width, height, media, colour scheme). Print: A4 and Letter at 96 dots an inch, less margins.
VIEWS = [
    ("390", 390, 844, "screen", "light"),
    ("390-dark", 390, 844, "screen", "dark"),
    ("1024", 1024, 768, "screen", "light"),
    ("1024-dark", 1024, 768, "screen", "dark"),
    ("a4", 688, 1017, "print", "light"),
    ("letter", 710, 950, "print", "light"),
]
LANDSCAPE = [("a4", 1054, 726, "print", "light"), ("letter", 988, 748, "print", "light")]


class Browser:
    def __init__(self, chromedriver, profile, *more):
        with socket.socket() as free:
            free.bind(("127.0.0.1", 0))
            self.port = free.getsockname()[1]
        self.process = subprocess.Popen(
            [chromedriver, f"--port={self.port}"], stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL
        )
        arguments = ["--headless=new", "--no-sandbox", "--disable-gpu", "--hide-scrollbars",
                     "--disable-dev-shm-usage", f"--user-data-dir={profile}", *more]
        options = {"args": arguments}
        binary = shutil.which("chromium") or shutil.which("chromium-browser") or shutil.which("google-chrome")
        if binary:
            options["binary"] = binary
        wanted = {"browserName": "chrome", "goog:chromeOptions": options,
                  "goog:loggingPrefs": {"browser": "ALL", "performance": "ALL"}}
        for _ in range(100):
            try:
                reply = self.ask("POST", "/session", {"capabilities": {"alwaysMatch": wanted}})
                break
            except (ConnectionError, urllib.error.URLError) as error:
                if isinstance(error, urllib.error.HTTPError):
                    raise
                time.sleep(0.1)
        else:
            raise ConnectionError("chromedriver does not answer")
        self.session = "/session/" + reply["sessionId"]

    def ask(self, method, path, body=None):
        request = urllib.request.Request(
            f"http://127.0.0.1:{self.port}{path}", method=method,
            data=None if body is None else json.dumps(body).encode(),
            headers={"Content-Type": "application/json"})
        opener = urllib.request.build_opener(urllib.request.ProxyHandler({}))
        with opener.open(request, timeout=60) as reply:
            return json.load(reply)["value"]

    def devtools(self, command, **parameters):
        return self.ask("POST", self.session + "/goog/cdp/execute", {"cmd": command, "params": parameters})

    def go(self, url):
        self.ask("POST", self.session + "/url", {"url": url})

    def open(self, page):
        self.go(Path(page).resolve().as_uri())

    def run(self, script):
        return self.ask("POST", self.session + "/execute/sync", {"script": script, "args": []})

    def log(self, kind):
        return self.ask("POST", self.session + "/se/log", {"type": kind})

    def close(self):
        try:
            self.ask("DELETE", self.session)
        except Exception:
            pass
        self.process.terminate()
        self.process.wait(10)


def look(browser, page, pictures):
    faults = []
    browser.go("about:blank")  # the browser's own start page asks for things of its own
    browser.log("performance")
    browser.open(page)
    for entry in browser.log("browser"):
        faults.append(f"console: {entry['message']}")
    own = Path(page).resolve().as_uri()
    for entry in browser.log("performance"):
        message = json.loads(entry["message"])["message"]
        if message["method"] == "Network.requestWillBeSent":
            url = message["params"]["request"]["url"]
            if url not in (own, "about:blank") and not url.startswith("data:"):
                faults.append(f"asks for {url[:80]}")
    card = browser.run("return document.body.classList.contains('card')")
    for name, width, height, media, scheme in (VIEWS[:4] + LANDSCAPE if card else VIEWS):
        browser.devtools("Emulation.setDeviceMetricsOverride", width=width, height=height,
                         deviceScaleFactor=1, mobile=False)
        browser.devtools("Emulation.setEmulatedMedia", media=media,
                         features=[{"name": "prefers-color-scheme", "value": scheme}])
        faults += [f"{name}: {fault}" for fault in browser.run(LOOK)]
        if pictures:
            shot = browser.devtools("Page.captureScreenshot", format="png", captureBeyondViewport=True)
            Path(pictures, f"{Path(page).stem}-{name}.png").write_bytes(base64.b64decode(shot["data"]))
    browser.devtools("Emulation.setEmulatedMedia", media="")
    browser.devtools("Emulation.clearDeviceMetricsOverride")
    for sheet, width, height in (("A4", 8.27, 11.69), ("Letter", 8.5, 11.0)):
        sides = (height, width) if card else (width, height)
        pdf = base64.b64decode(browser.devtools(
            "Page.printToPDF", paperWidth=sides[0], paperHeight=sides[1], preferCSSPageSize=False,
            printBackground=True)["data"])
        sheets = len(re.findall(rb"/Type\s*/Page\b", pdf))
        most = 1 if card else 5
        hostile = Path(page).stem.startswith("hostile")
        if sheets < 1 or (sheets > most and not hostile):
            faults.append(f"{sheet}: prints on {sheets} sheets, more than {most}")
    return faults


def main():
    chromedriver, pages = sys.argv[1], sys.argv[2:]
    pictures = os.environ.get("LAMPBEAT_PAGE_PICTURES")
    with tempfile.TemporaryDirectory(ignore_cleanup_errors=True) as profile:
        try:
            browser = Browser(chromedriver, profile)
        except Exception as error:
            print(f"the browser cannot be started: {error}")
            return 77
        try:
            count = 0
            for page in pages:
                for fault in look(browser, page, pictures):
                    print(f"{Path(page).name}: {fault}")
                    count += 1
        finally:
            browser.close()
    return 1 if count else 0


if __name__ == "__main__":
    sys.exit(main())
