"""Reference figures from NumPy and SciPy, knowing nothing of lampbeat.

  reference.py figures FUNDAMENTAL_HZ CAPTURE.wav   figures of a noise-free capture, as JSON
  reference.py coupling CORNER_HZ DIRECT.wav COUPLED.wav
                                                    largest difference of COUPLED from DIRECT passed
                                                    through a first-order high-pass, once settled
  reference.py manifest MANIFEST.md                 compares its table of expected figures with the
                                                    lights it describes; complaints, one a line
"""

import json
import math
import re
import sys

import numpy as np
import scipy.fft
import scipy.io.wavfile
import scipy.optimize
import scipy.signal


def modulation_percent(x):
    return 100 * (x.max() - x.min()) / (x.max() + x.min())


def flicker_index(x):
    """ANSI/IES LS-1 5.9.9.4 on whole cycles: area above the mean over the whole area."""
    return np.maximum(x - x.mean(), 0).sum() / x.sum()


def dominant_hz(x, rate):
    """Maximum of the windowed Fourier transform, found off the grid of bins."""
    window = scipy.signal.windows.blackmanharris(len(x))
    centred = (x - x.mean()) * window
    t = np.arange(len(x)) / rate
    spectrum = np.abs(scipy.fft.rfft(centred))
    start = np.argmax(spectrum) * rate / len(x)
    step = rate / len(x)
    power = lambda hz: -np.abs(np.exp(-2j * np.pi * hz * t) @ centred)
    found = scipy.optimize.minimize_scalar(
        power, bounds=(start - step, start + step), method="bounded", options={"xatol": 1e-6})
    return found.x


def low_passed(x, rate, cut_off):
    """California JA10.6: everything above the cut-off set to zero in the transform."""
    spectrum = scipy.fft.rfft(x)
    spectrum[scipy.fft.rfftfreq(len(x), 1 / rate) > cut_off + 1e-9] = 0
    return scipy.fft.irfft(spectrum, len(x))


def read_wav(path):
    rate, x = scipy.io.wavfile.read(path)
    if x.dtype.kind == "i":
        x = x / float(np.iinfo(x.dtype).max + 1)
    return rate, x.astype(float)


def figures(fundamental, path):
    rate, x = read_wav(path)
    cycles = math.floor(len(x) * fundamental / rate + 1e-9)
    whole = x[: round(cycles * rate / fundamental)]
    return {
        "percent_flicker": modulation_percent(x),
        "flicker_index": flicker_index(whole),
        "dominant_hz": dominant_hz(x, rate),
        "lowpass_percent": {
            str(c): modulation_percent(low_passed(whole, rate, c)) for c in (40, 90, 200, 400, 1000)
        },
    }


def coupling(corner, direct_path, coupled_path):
    rate, direct = read_wav(direct_path)
    _, coupled = read_wav(coupled_path)
    b, a = scipy.signal.butter(1, corner, "highpass", fs=rate)
    expected = scipy.signal.lfilter(b, a, direct - direct.mean())
    settled = int(5 * rate / corner)
    return float(np.abs(expected - coupled)[settled:].max())


# ---- the lights of the example captures, from their descriptions alone -----------------------


def described(arguments):
    """The light a synth command describes, as (waveform, common period of its mains parts)."""
    mains = 0.0
    ripple = None
    components = []
    pwm = None
    typical = None
    for name, value in zip(arguments, arguments[1:]):
        if name == "--mains":
            mains = float(value)
        elif name == "--rectified":
            ripple = float(value) / 100
        elif name == "--component":
            parts = [float(p) for p in value.split(":")] + [0.0]
            components.append((parts[0], parts[1] / 100, math.radians(parts[2])))
        elif name == "--pwm":
            hz, duty = value.split(":")
            pwm = (float(hz), float(duty.rstrip("%")) / 100)
        elif name == "--typical":
            typical = value

    def waveform(t):
        light = np.ones_like(t)
        for hz, amplitude, phase in components:
            light += amplitude * np.cos(2 * np.pi * hz * t + phase)
        if ripple is not None:
            foot = (1 - ripple) / (1 + ripple)
            shape = foot + (1 - foot) * np.abs(np.sin(2 * np.pi * mains * t))
            light += shape / (foot + (1 - foot) * 2 / np.pi) - 1
        if typical == "tube-magnetic":
            # Handbook, from memory: 28 %; shaped as a rectified sine, whose series is 2/(4k²−1).
            wave = sum(-2 / (4 * k * k - 1) * np.cos(2 * np.pi * 2 * k * mains * t)
                       for k in range(1, 13))
            grid = np.arange(0, 1, 1e-5) / (2 * mains)
            cycle = sum(-2 / (4 * k * k - 1) * np.cos(2 * np.pi * 2 * k * mains * grid)
                        for k in range(1, 13))
            high, low, m = cycle.max(), cycle.min(), 0.28
            light += wave * 2 * m / ((high - low) - m * (high + low))
        elif typical is not None:
            raise SystemExit(f"no reference for the typical light {typical}")
        if pwm is not None:
            light *= ((t * pwm[0]) % 1.0 < pwm[1]) / pwm[1]
        return light

    strongest = max(components, key=lambda c: c[1])[0] if components else None
    if typical or ripple is not None:
        strongest = 2 * mains
    if pwm:
        strongest = pwm[0]
    period = 1 / pwm[0] if pwm else 1 / mains
    return waveform, period, strongest


def check_manifest(path):
    text = open(path, encoding="utf-8").read()
    complaints = []
    commands = dict(re.findall(r"^    lampbeat synth (\S+) (.*)$", text, re.M))
    rows = re.findall(r"^\| `(\S+)` \| (\S+) \| (\S+) \| (\S+) \|", text, re.M)
    if len(rows) < 9:
        complaints.append(f"only {len(rows)} rows of expected figures were found")
    for name, percent, index, hz in rows:
        if name not in commands:
            complaints.append(f"{name}: no command")
            continue
        waveform, period, strongest = described(commands[name].split())
        cycle = waveform((np.arange(2_000_000) + 0.5) / 2_000_000 * period)
        for label, written, computed, tolerance in (
            ("percent flicker", percent, modulation_percent(cycle), 0.0051),
            ("flicker index", index, flicker_index(cycle), 0.000051),
            ("dominant Hz", hz, strongest, 0.00051),
        ):
            if written == "-":
                continue
            if not abs(float(written) - computed) <= tolerance:
                complaints.append(f"{name}: {label} is {computed:.6f}, not {written}")
    return complaints


def main(arguments):
    if arguments[:1] == ["figures"]:
        print(json.dumps(figures(float(arguments[1]), arguments[2])))
    elif arguments[:1] == ["coupling"]:
        print(json.dumps(coupling(float(arguments[1]), arguments[2], arguments[3])))
    elif arguments[:1] == ["manifest"]:
        complaints = check_manifest(arguments[1])
        print("\n".join(complaints), end="")
        sys.exit(1 if complaints else 0)
    else:
        sys.exit(__doc__)


main(sys.argv[1:])
