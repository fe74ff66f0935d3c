#include "lampbeat/tones.hpp"

#include <algorithm>
#include <cmath>

#include "arithmetic/median.hpp"
#include "arithmetic/phase.hpp"
#include "signal/spectrum/peaks.hpp"
#include "signal/tones/line_search.hpp"
#include "signal/tones/tone_series.hpp"

namespace lampbeat {
namespace {

/// A line between two bins of the window's spectrum reads up to 0.83 dB low (Harris, Proc. IEEE
/// 66(1), 1978, table I).
constexpr double scalloping = 1.1;

/// The smallest tone that would have been told from the noise. A line at the bare threshold is
/// missed half the time: the noise at its place adds one floor more. And it reads low between two
/// bins.
double detection_floor(const signal::tones::FoundLines& found) {
  std::vector<double> floors = found.left.floor;
  if (floors.empty()) return 0.0;
  const double bins = static_cast<double>(floors.size());
  const double threshold =
      signal::spectrum::threshold_over_floor(bins, signal::spectrum::search_false_alarm);
  return std::max(arithmetic::upper_median(floors) * (threshold + 1.0) * scalloping,
                  std::max(found.least_amplitude, found.clutter.value_or(0.0)));
}

}  // namespace

ToneAnalysis analyse_tones(const Window& window, const ToneSettings& settings) {
  signal::tones::require_finite(window);
  if (window.size() < signal::tones::fewest_samples_to_analyse || !(window.interval_s > 0.0)) {
    return signal::tones::mean_alone(window);
  }
  const signal::tones::FoundLines found = signal::tones::search_lines(window, settings);
  ToneAnalysis analysis;
  analysis.analysed = true;
  analysis.mean = found.fit.level;
  analysis.change = found.fit.change;
  analysis.noise_sd = found.fit.noise_sd;
  analysis.series = signal::tones::as_series(found.fit, found.mains);
  analysis.detection_floor = detection_floor(found);
  return analysis;
}

double model_at(const ToneAnalysis& analysis, double t_s) {
  double value = analysis.mean;
  for (const ToneSeries& series : analysis.series) {
    for (const Tone& tone : series.tones) {
      value += tone.amplitude * std::cos(arithmetic::turn * tone.hz * t_s + tone.phase_rad);
    }
  }
  return value;
}

}  // namespace lampbeat
