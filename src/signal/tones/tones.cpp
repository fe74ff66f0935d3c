#include "lampbeat/tones.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "arithmetic/median.hpp"
#include "signal/spectrum/peaks.hpp"
#include "signal/tones/line_search.hpp"
#include "signal/tones/tone_series.hpp"

namespace lampbeat {
namespace {

/// Half a percent of the mean is one point of percent flicker.
constexpr double least_effect = 0.005;
/// A rhythm this far up, as parts of the sampling rate, cannot show its third multiple below half
/// of it.
constexpr double shows_no_third = 6.0;
/// A line between two bins of the window's spectrum reads up to 0.83 dB low (Harris, Proc. IEEE
/// 66(1), 1978, table I).
constexpr double scalloping = 1.1;

/// Energy that may have folded, on the strength of what folding would do to percent flicker. A
/// light's own rhythm is nearly always a switched one with a row of harmonics. A lone free-running
/// tone so high that not even its third multiple would fit below half the sampling rate cannot show
/// them, and may as well be a rhythm from above half the rate that folded down: nothing in the
/// samples tells the two apart. Harmonics recognised where they fold need no such doubt, nor does
/// anything that moves percent flicker by less than a point.
bool folding_suspected(const ToneAnalysis& analysis, double rate_hz) {
  return std::any_of(analysis.series.begin(), analysis.series.end(), [&](const ToneSeries& series) {
    return series.kind == SeriesKind::free_running &&
           series.fundamental_hz >= rate_hz / shows_no_third &&
           signal::strongest_amplitude(series) >= least_effect * std::abs(analysis.mean);
  });
}

/// The smallest tone that would have been told from the noise. A line at the bare threshold is
/// missed half the time: the noise at its place adds one floor more. And it reads low between two
/// bins.
double detection_floor(const signal::FoundLines& found) {
  std::vector<double> floors = found.left.floor;
  if (floors.empty()) return 0.0;
  const double bins = static_cast<double>(floors.size());
  const double threshold = signal::threshold_over_floor(bins, signal::search_false_alarm);
  return std::max(signal::upper_median(floors) * (threshold + 1.0) * scalloping,
                  std::max(found.least_amplitude, found.clutter.value_or(0.0)));
}

}  // namespace

ToneAnalysis analyse_tones(const Window& window, const ToneSettings& settings) {
  signal::require_finite(window);
  if (window.size() < signal::fewest_samples_to_analyse || !(window.interval_s > 0.0)) {
    return signal::mean_alone(window);
  }
  const signal::FoundLines found = signal::search_lines(window, settings);
  ToneAnalysis analysis;
  analysis.analysed = true;
  analysis.mean = found.fit.level;
  analysis.change = found.fit.change;
  analysis.noise_sd = found.fit.noise_sd;
  analysis.series = signal::as_series(found.fit, found.mains);
  analysis.alias_suspected = folding_suspected(analysis, 1.0 / window.interval_s);
  analysis.detection_floor = detection_floor(found);
  return analysis;
}

double model_at(const ToneAnalysis& analysis, double t_s) {
  double value = analysis.mean;
  for (const ToneSeries& series : analysis.series) {
    for (const Tone& tone : series.tones) {
      value += tone.amplitude * std::cos(2.0 * std::numbers::pi * tone.hz * t_s + tone.phase_rad);
    }
  }
  return value;
}

}  // namespace lampbeat
