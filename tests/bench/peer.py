"""What somebody at home in NumPy and SciPy would write instead of using lampbeat, and write well.

  peer.py CAPTURE...     figures of each capture, one JSON object a line

Captures are WAV files or tables of time and value. Per capture: highest and lowest reading, percent
flicker, flicker index, the dominant frequency between the bins of a Welch spectrum, harmonics, and
modulation below five cut-offs (California JA10) over segments. Read in pieces of ten seconds. Knows
one rhythm only and states no uncertainty: it is a measure of speed, not of truth.
"""

import json
import sys
import warnings

import numpy as np
import scipy.fft
import scipy.io.wavfile
import scipy.signal

warnings.simplefilter("ignore", scipy.io.wavfile.WavFileWarning)  # of chunks it does not know

PIECE_S = 10
SEGMENT_S = 1
HARMONICS = 20
CUT_OFFS_HZ = (40, 90, 200, 400, 1000)


def pieces_of_wav(path):
    try:
        rate, samples = scipy.io.wavfile.read(path, mmap=True)
    except ValueError:  # a format that cannot be mapped
        rate, samples = scipy.io.wavfile.read(path)
    if samples.ndim > 1:
        samples = samples[:, 0]
    full_scale = np.iinfo(samples.dtype).max + 1.0 if samples.dtype.kind == "i" else 1.0
    for start in range(0, len(samples), PIECE_S * rate):
        piece = samples[start:start + PIECE_S * rate].astype(np.float64)
        yield rate, piece / full_scale if full_scale != 1.0 else piece


def pieces_of_table(path):
    """The rate is that of the first piece; pandas reads faster where it is there."""
    rows = 500_000
    try:
        import pandas
        tables = (t.to_numpy() for t in pandas.read_csv(path, chunksize=rows, comment="#"))
    except ImportError:
        tables = tables_by_numpy(path, rows)
    rate = None
    for table in tables:
        if len(table) < 2:
            continue
        rate = rate or (len(table) - 1) / (table[-1, 0] - table[0, 0])
        yield rate, table[:, 1]


def tables_by_numpy(path, rows):
    with open(path) as lines:
        next(lines)
        while True:
            table = np.loadtxt(lines, delimiter=",", max_rows=rows, ndmin=2)
            if len(table):
                yield table
            if len(table) < rows:
                return


def modulation_percent(lowest, highest):
    return 100 * (highest - lowest) / (highest + lowest)


def peak_between_bins(density, bin_hz):
    """The peak of a parabola through the logarithms around the highest bin."""
    at = 1 + int(np.argmax(density[1:-1]))
    a, b, c = np.log(density[at - 1:at + 2] + 1e-300)
    return (at + 0.5 * (a - c) / (a - 2 * b + c)) * bin_hz


def low_passed_percents(samples, rate, hz):
    """Of a segment of whole cycles; one transform forth, one back for each cut-off."""
    cycles = int(len(samples) * hz / rate)
    whole = samples[:round(cycles * rate / hz)] if cycles else samples
    spectrum = scipy.fft.rfft(whole)
    result = []
    for cut_off in CUT_OFFS_HZ:
        kept = spectrum.copy()
        kept[int(cut_off * len(whole) / rate) + 1:] = 0
        below = scipy.fft.irfft(kept, len(whole))
        result.append(modulation_percent(below.min(), below.max()))
    return result


def figures(path):
    is_table = path.lower().endswith((".csv", ".txt"))
    count, total, above, lowest, highest = 0, 0.0, 0.0, np.inf, -np.inf
    density, pieces, below = 0.0, 0, []
    for rate, samples in (pieces_of_table if is_table else pieces_of_wav)(path):
        lowest, highest = min(lowest, samples.min()), max(highest, samples.max())
        mean = samples.mean()
        count += len(samples)
        total += samples.sum()
        above += np.maximum(samples - mean, 0).sum()
        segment = min(len(samples), round(SEGMENT_S * rate))
        if pieces and segment < round(SEGMENT_S * rate):
            continue  # a remainder shorter than a segment
        frequencies, now = scipy.signal.welch(samples, rate, nperseg=segment)
        density, pieces = density + now, pieces + 1
        hz = peak_between_bins(density, frequencies[1])
        below.append(low_passed_percents(samples[:2 * segment], rate, hz))
    orders = [round(k * hz / frequencies[1]) for k in range(1, HARMONICS + 1)]
    amplitudes = [float(np.sqrt(1.5 * density[k] / pieces * frequencies[1] * 2)) for k in orders
                  if k < len(density)]
    return {
        "capture": path,
        "samples": count,
        "mean": total / count,
        "percent_flicker": modulation_percent(lowest, highest),
        "flicker_index": above / total,
        "dominant_hz": hz,
        "harmonics": amplitudes,
        "lowpass_percent": dict(zip(map(str, CUT_OFFS_HZ), np.mean(below, axis=0))),
    }


for capture in sys.argv[1:]:
    print(json.dumps(figures(capture)))
