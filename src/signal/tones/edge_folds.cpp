#include "signal/tones/edge_folds.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <numeric>

#include "arithmetic/alias.hpp"

namespace lampbeat::signal::tones {
namespace {

/// A window parts lines three bins from each other.
constexpr double bins_parted = 3.0;
/// All images of an edge's multiples together swing as a sawtooth does: π/2 times as far as the
/// first of them.
constexpr double all_images = std::numbers::pi / 2.0;

/// The frequency all tones of the series are multiples of.
double repeats_at_hz(const ToneSeries& series) {
  int shared = 0;
  for (const Tone& tone : series.tones) shared = std::gcd(shared, tone.order);
  return std::max(shared, 1) * series.fundamental_hz;
}

/// Of the rhythm's multiples in the upper octave, whatever series they were put into: what folds
/// onto them pulls them off their places. Seen with that, for better or worse, the largest stands
/// for all.
double strength_of(const ToneAnalysis& light, double hz, double rate_hz, double pulled_hz) {
  double strength = 0.0;
  for (const ToneSeries& series : light.series) {
    for (const Tone& tone : series.tones) {
      if (tone.hz <= rate_hz / 4.0 || tone.hz >= rate_hz / 2.0) continue;
      if (std::abs(tone.hz - std::round(tone.hz / hz) * hz) > pulled_hz) continue;
      strength = std::max(strength, tone.amplitude * tone.hz);
    }
  }
  return strength;
}

}  // namespace

EdgeFolds::EdgeFolds(const ToneAnalysis& light, double rate_hz, double window_s)
    : rate_hz_(rate_hz) {
  for (const ToneSeries& series : light.series) {
    if (series.kind == SeriesKind::sideband || series.tones.empty()) continue;
    const double hz = repeats_at_hz(series);
    const double multiple = std::round(rate_hz / hz);
    if (multiple < 1.0 || arithmetic::folded_hz(multiple * hz, rate_hz) * window_s > bins_parted) {
      continue;
    }
    const double strength = strength_of(light, hz, rate_hz, bins_parted / window_s);
    if (strength > 0.0) rhythms_.push_back({hz, strength});
  }
}

double EdgeFolds::on_level() const {
  double sum = 0.0;
  for (const Switched& rhythm : rhythms_) sum += all_images * rhythm.strength / rate_hz_;
  return sum;
}

double EdgeFolds::on_tone(double hz) const {
  constexpr double same_hz = 0.3;  // of the spacing of a rhythm's multiples
  double sum = 0.0;
  for (const Switched& rhythm : rhythms_) {
    const double order = std::round(hz / rhythm.fundamental_hz);
    if (order < 1.0) continue;
    if (std::abs(hz - order * rhythm.fundamental_hz) > same_hz * rhythm.fundamental_hz) continue;
    if (hz >= rate_hz_) continue;
    sum += all_images * rhythm.strength / (rate_hz_ - std::min(hz, rate_hz_ / 2.0));
  }
  return sum;
}

}  // namespace lampbeat::signal::tones
