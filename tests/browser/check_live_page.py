#!/usr/bin/env python3
"""Uses the page of the target `page` in a headless browser, beside the program it shares its engine with.

    check_live_page.py CHROMEDRIVER PAGE.html LAMPBEAT CAPTURES SCRATCH PART...

PART is one of plan, files, camera, microphone, looks. Prints one line per fault and exits with 1 when there is any;
with 77 when the browser cannot be started. LAMPBEAT_SETTINGS: how many settings to compare (default 40).
"""

import http.server
import json
import math
import os
import random
import subprocess
import sys
import tempfile
import threading
import time
from pathlib import Path
from urllib.parse import quote

from check_pages import LOOK, Browser

faults = []


def expect(holds, what):
    if not holds:
        faults.append(what)


def program(lampbeat, *arguments):
    ran = subprocess.run([lampbeat, *arguments], capture_output=True, text=True, check=True)
    return json.loads(ran.stdout)


class LivePage:
    def __init__(self, browser, address):
        self.browser, self.address = browser, address

    def run(self, script):
        return self.browser.run(script)

    def wait(self, script, what, seconds=60):
        end = time.monotonic() + seconds
        while time.monotonic() < end:
            value = self.run(f"return ({script})")
            if value:
                return value
            time.sleep(0.05)
        faults.append(f"waited {seconds} s in vain: {what}")
        return None

    def open(self, fragment=""):
        self.browser.go("about:blank")
        self.browser.go(self.address + fragment)
        self.wait("document.documentElement.dataset.state === 'ready'", "the page is ready")

    def set(self, fragment):
        """Goes to an address while the page is open."""
        self.run(f"location.hash = {json.dumps(fragment)}")
        self.wait(f"document.documentElement.dataset.shown === {json.dumps(fragment)}", f"{fragment[:120]} is shown")

    def figures(self):
        return self.run("return Object.fromEntries([...document.querySelectorAll('[data-figure]')]"
                        ".map(e => [e.dataset.figure, e.dataset.value]))")

    def click(self, element):
        self.run(f"document.getElementById('{element}').click()")

    def put_file(self, path):
        found = self.browser.ask("POST", self.browser.session + "/element", {"using": "css selector", "value": "#open"})
        element = next(iter(found.values()))
        self.run("delete document.documentElement.dataset.opened")
        self.browser.ask("POST", f"{self.browser.session}/element/{element}/value", {"text": str(Path(path).resolve())})
        self.wait("document.documentElement.dataset.opened", f"{path} is opened")


def close_to(figure, value, margin, what):
    """A figure of the page against the program's; absent on both sides is agreement too."""
    if value is None:
        return expect(figure in ("", None), f"{what}: the page has {figure}, the program nothing")
    if figure in ("", None):
        return expect(False, f"{what}: the page has nothing, the program {value}")
    expect(abs(float(figure) - value) <= margin, f"{what}: the page has {figure}, the program {value}")


def drawn_setting(draw, typicals):
    fps = draw.choice(["23.976", "24", "25", "29.97", "30", "48", "50", "59.94", "60", "100", "119.88"])
    per_s = float(fps) * (1000 / 1001 if "." in fps else 1)
    exposure_s = math.exp(draw.uniform(math.log(1 / 4000), math.log(0.999 / per_s)))
    shutter = draw.choice([f"1/{1 / exposure_s:.2f}", f"{1e3 * exposure_s:.3f}ms", f"{360 * exposure_s * per_s:.1f}deg"])
    if shutter.startswith("1/") and float(shutter[2:]) < per_s:
        shutter = "180deg"
    readout = draw.choice(["", "global", f"{draw.uniform(2, 999 / per_s):.1f}ms"])
    mains = draw.choice(["50", "60"])
    lights = []
    for _ in range(draw.choice([1, 1, 1, 2])):
        share = draw.choice([1, 0.5, 3])
        if draw.random() < 0.2:
            lights.append(("light-hz", f"{draw.uniform(80, 3000):.1f}", share))
        else:
            lights.append(("typical", draw.choice(typicals), share))
    return fps, shutter, readout, mains, lights


def check_plan(page, lampbeat, settings):
    page.open("#fps=25&shutter=1/100&readout=16ms&mains=60&typical=tube-magnetic")
    expect(page.run("return location.hash") == "#fps=25&shutter=1/100&readout=16ms&mains=60&typical=tube-magnetic",
           "the address does not stay as it was opened")
    typicals = page.run("return typicals.map(t => t.name)")
    draw = random.Random(int(os.environ.get("LAMPBEAT_SEED", "20261130")))
    took = []
    for _ in range(settings):
        fps, shutter, readout, mains, lights = drawn_setting(draw, typicals)
        fragment = f"#fps={fps}&shutter={shutter}" + (f"&readout={readout}" if readout else "") + f"&mains={mains}"
        arguments = ["predict", "--json", "--fps", fps, "--shutter", shutter, "--mains", mains]
        if readout:
            arguments += ["--readout", readout]
        for kind, name, share in lights:
            fragment += f"&{kind}={name}" + ("" if share == 1 else f":{share}")
        # The program takes frequencies before typical lights.
        for kind, name, share in sorted(lights, key=lambda light: light[0]):
            arguments += [f"--{kind}", f"{name}:{share}"]
        wanted = program(lampbeat, *arguments)
        page.set(fragment)
        shown = page.figures()
        took.append(float(page.run("return document.documentElement.dataset.tookMs")))
        for key in ("band_percent", "visibility", "pulse_percent", "bands_per_frame", "roll_hz"):
            close_to(shown.get(key), wanted[key], 1e-9 * max(abs(wanted[key]), 1e-6), f"{fragment}: {key}")
        close_to(shown.get("worst.visibility"), wanted["worst"]["visibility"],
                 1e-9 * max(wanted["worst"]["visibility"], 1e-6), f"{fragment}: worst.visibility")
        expect(shown.get("verdict") == wanted["verdict"], f"{fragment}: verdict {shown.get('verdict')}")
        expect(shown.get("worst.verdict") == wanted["worst"]["verdict"], f"{fragment}: worst {shown.get('worst.verdict')}")
        said = page.run("return [...document.querySelectorAll('#advice li')].map(e => e.textContent)")
        if [kind for kind, _, _ in lights] == sorted(kind for kind, _, _ in lights):
            expect(said == wanted["advice"], f"{fragment}: other advice, {said} for {wanted['advice']}")
    took.sort()
    print(f"{settings} settings: {took[len(took) // 2]:.1f} ms in the middle, {took[-1]:.1f} ms at most", file=sys.stderr)

    page.set("#fps=25&shutter=1/100&readout=16ms&mains=60&typical=tube-magnetic")
    page.wait("document.getElementById('strip').dataset.wholeMs", "the strip is whole")
    points = int(page.run("return document.getElementById('strip').dataset.points"))
    expect(points >= 300, f"the strip has {points} exposures")
    print("strip:", page.run("return JSON.stringify({...document.getElementById('strip').dataset})"), file=sys.stderr)
    # One point of the strip is what predict says there.
    point = page.run("return strip.points[200]")
    there = program(lampbeat, "predict", "--json", "--fps", "25", "--shutter", f"{point['exposure_s']!r}s", "--readout",
                    "16ms", "--mains", "60", "--typical", "tube-magnetic")
    close_to(point["visibility"], there["worst"]["visibility"], 1e-9 * there["worst"]["visibility"], "a point of the strip")
    # Keys.
    before = page.run("return wish.shutter")
    for key in ("PageUp", "ArrowRight", "Home", "End"):
        page.run("document.getElementById('strip').dispatchEvent(new KeyboardEvent('keydown', {key: %s}))" % json.dumps(key))
    page.wait("document.documentElement.dataset.shown === location.hash", "the last key is shown")
    expect(page.run("return wish.shutter") != before, "keys on the strip do not set the shutter")
    expect(page.run("return document.getElementById('shutter').value") == page.run("return wish.shutter"),
           "the shutter's field does not follow the strip")
    # Controls change the address, and the address restores them.
    page.run("const e = document.getElementById('fps'); e.value = '50'; e.dispatchEvent(new Event('input'))")
    expect("fps=50&" in page.run("return location.hash"), "a control does not change the address")
    page.set("#fps=24&shutter=172.8deg&readout=global&mains=50&typical=%s:0.5&light-hz=120" % typicals[0])
    expect(page.run("return [document.getElementById('fps').value, document.getElementById('shutter').value, "
                    "document.getElementById('readout').value, document.getElementById('mains').value, "
                    "document.querySelectorAll('.light').length]") == ["24", "172.8deg", "global", "50", 2],
           "an address does not restore the controls")
    # What cannot be read is said, and the page lives on.
    page.run("location.hash = '#fps=25&shutter=1/10&mains=60&typical=tube-magnetic'")
    page.wait("!document.getElementById('trouble').hidden", "a shutter longer than the frame is refused")
    page.set("#fps=25&shutter=1/120&readout=16ms&mains=60&typical=tube-magnetic")
    expect(page.run("return document.getElementById('trouble').hidden"), "trouble stays when it is over")
    page.wait("document.querySelector('#map svg')", "the map is drawn", 120)


def check_files(page, lampbeat, captures):
    page.open()
    for path in sorted(captures.iterdir()):
        if path.suffix not in (".wav", ".flac", ".csv") or path.name == "shelf.csv":
            continue
        page.put_file(path)
        trouble = page.run("return document.getElementById('trouble').hidden ? '' : "
                           "document.getElementById('trouble').textContent")
        ran = subprocess.run([lampbeat, "measure", "--json", path], capture_output=True, text=True, check=False)
        if ran.returncode not in (0, 1):
            expect(trouble, f"{path.name}: the program refuses it, the page does not")
            continue
        expect(not trouble, f"{path.name}: {trouble}")
        wanted, shown = json.loads(ran.stdout), page.figures()
        for key in ("percent_flicker", "flicker_index", "dominant_hz"):
            sd = wanted.get(key + "_uncertainty")
            close_to(shown.get(key), wanted[key], 0.01 * (sd or 0) + 1e-12, f"{path.name}: {key}")
        if wanted["dominant_hz"] and wanted["percent_flicker"]:
            expect("profile=" in page.run("return location.hash"), f"{path.name}: the address does not hold the light")
            with tempfile.TemporaryDirectory() as folder:
                saved = Path(folder, "light.json")
                subprocess.run([lampbeat, "measure", "--save", saved, path], capture_output=True, check=False)
                predicted = program(lampbeat, "predict", "--json", "--light", str(saved), "--fps", "25", "--shutter",
                                    "1/100", "--readout", "16ms", "--mains", "60")
            page.wait("document.documentElement.dataset.shown === location.hash", "the light is planned with")
            band = float(page.figures()["band_percent"])
            expect(abs(band - predicted["band_percent"]) <= 1e-3 * predicted["band_percent"] + 1e-6,
                   f"{path.name}: bands of {band}, the program {predicted['band_percent']}")
    # A profile in an address is the light again.
    address = page.run("return location.hash")
    page.open(address)
    expect(page.run("return location.hash") == address, "an address with a profile changes when it is opened")


def check_looks(page):
    browser = page.browser
    for name, width, height, scheme in (("360", 360, 740, "light"), ("360-dark", 360, 740, "dark"),
                                        ("1024", 1024, 768, "light"), ("1024-dark", 1024, 768, "dark")):
        browser.devtools("Emulation.setDeviceMetricsOverride", width=width, height=height, deviceScaleFactor=1, mobile=False)
        browser.devtools("Emulation.setEmulatedMedia", media="screen",
                         features=[{"name": "prefers-color-scheme", "value": scheme}])
        page.open("#fps=25&shutter=1/100&readout=16ms&mains=60&typical=tube-magnetic")
        page.wait("document.querySelector('#map svg')", "the map is drawn", 120)
        for fault in browser.run(LOOK):
            # This page has a script, and its boxes hold canvases and fields.
            if "a script element" not in fault and "an empty box" not in fault:
                faults.append(f"{name}: {fault}")
        small = browser.run("return [...document.querySelectorAll('button, input:not(.sr), select, .button')].filter(e => "
                            "e.offsetHeight && e.offsetHeight < 44).map(e => e.id || e.className)")
        expect(not small, f"{name}: too small for a thumb: {small}")
        unnamed = browser.run("return [...document.querySelectorAll('button, input, select, canvas')].filter(e => !("
                              "e.labels?.length || e.textContent.trim() || e.getAttribute('aria-label') || "
                              "e.getAttribute('aria-labelledby'))).map(e => e.outerHTML)")
        expect(not unnamed, f"{name}: without a name: {unnamed}")
        pictures = os.environ.get("LAMPBEAT_PAGE_PICTURES")
        if pictures:
            import base64
            shot = browser.devtools("Page.captureScreenshot", format="png", captureBeyondViewport=True)
            Path(pictures, f"page-{name}.png").write_bytes(base64.b64decode(shot["data"]))
    expect(browser.run("return document.querySelector('[aria-live] h1') !== null"), "the verdict is in no live region")
    # Motion: none unasked, none faster than three flashes a second, none where less is wished.
    expect(not browser.run("return moving.on"), "the wall moves unasked")
    for fragment in ("#fps=25&shutter=1/1000&readout=global&mains=60&typical=tube-magnetic",
                     "#fps=60&shutter=1/1000&readout=12ms&mains=50&typical=tube-magnetic"):
        page.set(fragment)
        page.click("move")
        page.wait("moving.on && moving.frames.length", "the wall moves")
        rows = browser.run("return moving.frames.map(f => [f[0], f[90], f[180], f[269]])")
        shown_per_s = browser.run("return moving.shownPerS")
        for column in range(4):
            course = [frame[column] for frame in rows]
            turns, direction, extreme = 0, 0, course[0]
            for level in course:
                if (level - extreme) * direction > 0:
                    extreme = level
                elif abs(level - extreme) >= 0.1 * 255:
                    turns += direction != 0
                    direction, extreme = (1 if level > extreme else -1), level
            per_s = (turns + 1) // 2 / (len(course) / shown_per_s)
            expect(per_s <= 3.0, f"{fragment}: a row flashes {per_s:.2f} times a second")
        page.click("move")
        expect(not browser.run("return moving.on"), "the wall does not stand still again")
    browser.devtools("Emulation.setEmulatedMedia", media="screen",
                     features=[{"name": "prefers-reduced-motion", "value": "reduce"}])
    page.open()
    page.click("move")
    expect(not browser.run("return moving.on"), "the wall moves where less motion is wished")
    browser.devtools("Emulation.setEmulatedMedia", media="")
    browser.devtools("Emulation.clearDeviceMetricsOverride")
    # The card.
    browser.run("window.printFrame = frame => { window.printed = frame.contentDocument.querySelectorAll("
                "'.card-table tbody tr').length; }")
    page.click("print-card")
    page.wait("window.printed", "the card is printed", 120)
    expect(browser.run("return window.printed") == 6, "the card has not a row for every frame rate")


def check_microphone(page, lampbeat, wave):
    wanted = program(lampbeat, "measure", "--json", str(wave))
    page.open()
    page.click("use-microphone")
    page.wait("document.querySelector('#measured [data-figure=dominant_hz]')?.dataset.value", "a live reading", 60)
    time.sleep(4)
    page.click("stop")
    page.wait("document.documentElement.dataset.sensor === 'settled' && "
              "document.querySelector('#measured [data-figure=dominant_hz]')", "it settles", 120)
    trouble = page.run("return document.getElementById('trouble').textContent")
    expect(not trouble, f"microphone: {trouble}")
    hz = page.figures()["dominant_hz"]
    expect(hz and abs(float(hz) - wanted["dominant_hz"]) < 0.2, f"microphone: {hz} Hz for {wanted['dominant_hz']}")
    print(f"microphone: {hz} Hz, the program {wanted['dominant_hz']}", file=sys.stderr)
    page.click("take-light")
    page.wait("location.hash.includes('profile=') && document.documentElement.dataset.shown === location.hash",
              "the heard light is planned with")


def check_camera(page, lampbeat, clip, light_hz, label):
    wanted = program(lampbeat, "footage", "--json", str(clip), "--light-hz", str(light_hz))
    page.open()
    page.click("use-camera")
    page.run(f"document.getElementById('light-hz').value = '{light_hz}'")
    page.wait("document.querySelector('#measured [data-figure=roll_hz]')", f"{label}: the camera is read", 60)
    time.sleep(5)
    page.click("stop")
    page.wait("document.documentElement.dataset.sensor === 'settled'", "it settles", 60)
    trouble = page.run("return document.getElementById('trouble').textContent")
    expect(not trouble, f"{label}: {trouble}")
    shown = page.figures()
    print(f"{label}: {shown.get('light_hz')} Hz, roll {shown.get('roll_hz')}, readout {shown.get('readout_s')} at "
          f"{page.run('return document.documentElement.dataset.cameraFps')} fps; the program: roll {wanted['roll_hz']}, "
          f"readout {wanted['readout_s']}", file=sys.stderr)
    if wanted["band_percent"]:
        expect(shown.get("readout_s") and abs(float(shown["readout_s"]) / wanted["readout_s"] - 1) < 0.03,
               f"{label}: readout {shown.get('readout_s')}, the program {wanted['readout_s']}")


def serve(folder):
    """Camera and microphone want a secure context: localhost."""
    class Quiet(http.server.SimpleHTTPRequestHandler):
        def __init__(self, *arguments):
            super().__init__(*arguments, directory=str(folder))

        def log_message(self, *arguments):
            pass

    server = http.server.ThreadingHTTPServer(("127.0.0.1", 0), Quiet)
    threading.Thread(target=server.serve_forever, daemon=True).start()
    return server


def check_quiet(page, own):
    for entry in page.browser.log("browser"):
        faults.append(f"console: {entry['message']}")
    for entry in page.browser.log("performance"):
        message = json.loads(entry["message"])["message"]
        if message["method"] == "Network.requestWillBeSent":
            url = message["params"]["request"]["url"]
            if not url.startswith((own, "about:", "data:", "blob:")):
                faults.append(f"asks for {url[:100]}")


def with_browser(chromedriver, own, use, *more):
    with tempfile.TemporaryDirectory(ignore_cleanup_errors=True) as profile:
        browser = Browser(chromedriver, profile, *more)
        try:
            page = LivePage(browser, own)
            browser.go("about:blank")
            browser.log("performance")
            use(page)
            check_quiet(page, own)
        finally:
            browser.close()


def main():
    chromedriver, html, lampbeat, captures, scratch = sys.argv[1:6]
    parts = sys.argv[6:]
    scratch = Path(scratch)
    scratch.mkdir(parents=True, exist_ok=True)
    from_disk = Path(html).resolve().as_uri()
    try:
        with_browser(chromedriver, from_disk, lambda page: None)
    except Exception as error:
        print(f"the browser cannot be started: {error}")
        return 77
    settings = int(os.environ.get("LAMPBEAT_SETTINGS", "40"))
    if "plan" in parts:
        with_browser(chromedriver, from_disk, lambda page: check_plan(page, lampbeat, settings))
    if "files" in parts:
        with_browser(chromedriver, from_disk, lambda page: check_files(page, lampbeat, Path(captures)))
    if "looks" in parts:
        with_browser(chromedriver, from_disk, check_looks)
    fakes = ["--use-fake-ui-for-media-stream", "--use-fake-device-for-media-stream",
             "--autoplay-policy=no-user-gesture-required"]
    if "microphone" in parts or "camera" in parts:
        server = serve(Path(html).resolve().parent)
        local = f"http://127.0.0.1:{server.server_port}/{Path(html).name}"
    if "microphone" in parts:
        wave = Path(captures, "worktop-sound-card.wav").resolve()
        with_browser(chromedriver, local, lambda page: check_microphone(page, lampbeat, wave), *fakes,
                     f"--use-file-for-fake-audio-capture={wave}")
    if "camera" in parts:
        for fps, shutter, readout in (("25", "1/500", "16ms"), ("30", "1/250", "12ms")):
            mains = "60" if fps == "25" else "50"
            clip = scratch / f"camera-{fps}.y4m"
            subprocess.run([lampbeat, "synth", clip, "--typical", "tube-magnetic", "--mains", mains, "--fps", fps, "--shutter",
                            shutter, "--readout", readout, "--rows", "240", "--seconds", "6"], check=True,
                           capture_output=True)
            with_browser(chromedriver, local,
                         lambda page: check_camera(page, lampbeat, clip, 2 * int(mains), f"camera at {fps}"), *fakes,
                         f"--use-file-for-fake-video-capture={clip}")
    for fault in faults:
        print(fault)
    return 1 if faults else 0


if __name__ == "__main__":
    sys.exit(main())
