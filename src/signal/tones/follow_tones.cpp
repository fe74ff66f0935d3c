#include <algorithm>

#include "lampbeat/tones.hpp"
#include "signal/lines/thinned_fit.hpp"
#include "signal/tones/tone_series.hpp"

namespace lampbeat {
namespace {

/// Four samples a tone, one more than its unknowns, and a few for level and slope.
constexpr std::size_t samples_a_tone = 4;
constexpr std::size_t samples_beside = 8;
/// Frequencies start within their uncertainty: the first step gets there, the second confirms it.
constexpr int steps = 2;

}  // namespace

ToneAnalysis follow_tones(const Window& window, const ToneAnalysis& known) {
  signal::tones::require_finite(window);
  std::size_t tones = 0;
  for (const ToneSeries& series : known.series) tones += series.tones.size();
  if (window.size() < std::max(signal::tones::fewest_samples_to_analyse,
                               samples_a_tone * tones + samples_beside) ||
      !(window.interval_s > 0.0)) {
    return signal::tones::mean_alone(window);
  }

  const signal::lines::LineFit fit =
      signal::lines::fit_slow_lines(window, signal::tones::model_of(known), steps);
  ToneAnalysis result = known;
  result.analysed = true;
  result.mean = fit.level;
  result.change = fit.change;
  result.noise_sd = fit.noise_sd;
  std::size_t next = 0;
  for (ToneSeries& series : result.series) {
    const std::size_t fundamental = fit.model.lines[next].fundamental;
    series.fundamental_hz = fit.model.fundamental_hz[fundamental];
    series.fundamental_hz_sd = fit.fundamental_hz_sd[fundamental];
    for (Tone& tone : series.tones) {
      // Orders and ties stay those it is known by.
      Tone refitted = signal::tones::as_tone(fit.lines[next], {fundamental, tone.order});
      refitted.beside = tone.beside;
      tone = refitted;
      ++next;
    }
  }
  return result;
}

}  // namespace lampbeat
