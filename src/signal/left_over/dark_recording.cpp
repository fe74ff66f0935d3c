#include "lampbeat/dark_recording.hpp"

#include <algorithm>
#include <cmath>

#include "lampbeat/error.hpp"
#include "lampbeat/tones.hpp"
#include "signal/left_over/left_over.hpp"
#include "signal/windows/window_cutter.hpp"

namespace lampbeat {
namespace {

/// Windows' lines this close, in their share, are one line: five times what mains moves within a
/// recording (0.05 of 50 Hz).
constexpr double same_line = 0.005;
/// A line is one when it shows in most windows. Noise has a line in one window of 1000
/// (`spectrum::search_false_alarm`), seldom twice in one place.
constexpr double in_most = 0.6;

struct GrowingLine {
  double hz = 0.0;
  double sum = 0.0;
  double squares = 0.0;
  int windows = 0;
};

class Listener {
 public:
  void add(const signal::windows::PlacedWindow& placed) {
    const Window& window = placed.window;
    for (const double x : window.value) sum_ += x;
    samples_ += static_cast<double>(window.size());
    half_rate_hz_ = 0.5 / window.interval_s;
    const ToneAnalysis tones = analyse_tones(window, {});
    ++windows_;
    for (const ToneSeries& series : tones.series) {
      for (const Tone& tone : series.tones) learn(tone);
    }
    // Without folding: a line's harmonics are lines of their own here.
    const signal::tones::RhythmChoice alone = signal::tones::every_tone_alone(tones);
    rest_.find(window, placed.start_s, tones, alone, 0.0);
    account_.add(window, placed.start_s, rest_);
  }
  DarkRecording result() const {
    DarkRecording dark;
    dark.level = sum_ / samples_;
    for (const GrowingLine& line : lines_) {
      if (line.windows < in_most * windows_) continue;
      const double n = line.windows;
      const double mean = line.sum / n;
      const double spread = std::sqrt(std::max(0.0, line.squares / n - mean * mean));
      dark.lines.push_back({line.hz, mean, spread});
    }
    std::stable_sort(
        dark.lines.begin(), dark.lines.end(),
        [](const DarkLine& a, const DarkLine& b) { return a.amplitude > b.amplitude; });
    signal::left_over::NoiseKnowledge known;
    known.level = dark.level;
    known.half_rate_hz = half_rate_hz_;
    dark.bands = account_.result(known, true).bands;
    return dark;
  }
  bool empty() const { return samples_ == 0.0; }

 private:
  void learn(const Tone& tone) {
    auto line = std::find_if(lines_.begin(), lines_.end(), [&](const GrowingLine& known) {
      return std::abs(known.hz - tone.hz) <= same_line * known.hz;
    });
    if (line == lines_.end()) line = lines_.insert(lines_.end(), GrowingLine{tone.hz});
    line->sum += tone.amplitude;
    line->squares += tone.amplitude * tone.amplitude;
    ++line->windows;
  }

  double sum_ = 0.0;
  double samples_ = 0.0;
  double half_rate_hz_ = 0.0;
  int windows_ = 0;
  std::vector<GrowingLine> lines_;
  signal::left_over::RestOfWindow rest_;
  signal::left_over::LeftOverAccount account_;
};

}  // namespace

DarkRecording dark_recording(CaptureSource& source) {
  const CaptureFormat& format = source.format();
  Listener listener;
  signal::windows::WindowCutter cutter(
      format.evenly_sampled ? format.rate_hz : std::nullopt,
      [&](const signal::windows::PlacedWindow& window) { listener.add(window); });
  for (SampleBlock block = source.next(); !block.value.empty(); block = source.next()) {
    cutter.feed(block);
  }
  cutter.finish();
  if (listener.empty()) throw InputError(format.name + ": the dark capture holds no samples");
  return listener.result();
}

}  // namespace lampbeat
