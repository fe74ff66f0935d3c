#include "signal/states/whole_cycle.hpp"

#include <algorithm>
#include <cmath>
#include <iterator>
#include <numbers>
#include <utility>

namespace lampbeat::signal::states {
namespace {

/// Few intervals know their own length badly; one that agrees with the mains to this many of its
/// standard uncertainties, and to 2 %, is the mains' own.
constexpr double sds_of_mains = 3.0;
constexpr double most_off_mains = 0.02;

void lock_to_mains(ToneSeries& series) {
  for (const double mains_hz : {50.0, 60.0}) {
    for (const int order : {1, 2}) {
      const double off = std::abs(series.fundamental_hz - order * mains_hz);
      if (off > sds_of_mains * series.fundamental_hz_sd || off > most_off_mains * mains_hz)
        continue;
      series.kind = SeriesKind::mains_locked;
      series.fundamental_hz /= order;
      series.fundamental_hz_sd /= order;
      for (Tone& tone : series.tones) tone.order *= order;
      return;
    }
  }
}

double strongest_of(const ToneSeries& series) {
  double most = 0.0;
  for (const Tone& tone : series.tones) most = std::max(most, tone.amplitude);
  return most;
}

/// The loudest that the noise may be at a frequency: of the bands beside it, and of the model where
/// none is near.
double density_at(double hz, const left_over::LeftOver& left) {
  const auto above = std::find_if(left.bands.begin(), left.bands.end(),
                                  [&](const spectrum::Band& band) { return band.to_hz > hz; });
  double density = hz > 0.0 ? left.noise.density(hz) : 0.0;
  if (above != left.bands.end()) density = std::max(density, above->density);
  if (above != left.bands.end() && above != left.bands.begin() && above->from_hz > hz) {
    density = std::max(density, std::prev(above)->density);
  }
  return density;
}

/// Noise that is not white, and irregular light, have peaks that look like weak lines. A line is
/// one when it stands far above its own neighbourhood. The power of a noise line over the noise's
/// is exponential: where the bands show the noise half as loud as it is at the line, one in 270 000
/// passes; where they are right, none.
bool drowns(const ToneSeries& series, double level, const left_over::LeftOver& left,
            double window_s) {
  constexpr double over_neighbours = 25.0;
  // Close to the window's own length there are few neighbours, and drift among them.
  constexpr double few_bins = 12.0;
  // A density known from two bins is too low by a factor of three once in seven.
  constexpr double over_slow_neighbours = 80.0;
  constexpr double weak = 0.02;  // of the level; a stronger line is beyond doubt
  return std::all_of(series.tones.begin(), series.tones.end(), [&](const Tone& tone) {
    if (tone.amplitude > weak * level) return false;
    const double power = tone.amplitude * tone.amplitude / 2.0;
    const bool slow = tone.hz * window_s < few_bins;
    return power <
           (slow ? over_slow_neighbours : over_neighbours) * density_at(tone.hz, left) / window_s;
  });
}

/// A level that drifts over a converter's steps without enough noise to blur them leaves the
/// rounding error's sawtooth: its fundamental is step/π, less what noise blurs (Widrow & Kollár,
/// Quantization Noise, 2008, ch. 4), its frequency the steps drifted over in a second.
bool rounding_of_a_drift(const ToneSeries& series, const ToneAnalysis& tones,
                         const left_over::LeftOver& left) {
  if (!left.step || !(left.seconds > 0.0)) return false;
  const double step = *left.step;
  // A sawtooth that does not run evenly has lines above its mean one; where the drift is fastest
  // steps are crossed several times as often as on average.
  constexpr double play = 1.5;
  constexpr double fastest_over_mean = 8.0;
  const double steps = (left.drift.highest - left.drift.lowest) / step;
  constexpr double crosses_one = 0.5;  // of a step: where rounding changes its mind
  if (steps < crosses_one) return false;
  // What the steps leave counts into the noise itself, so that it is no less than a step's own.
  const double own = step * step / 12.0;
  const double noise = std::max(0.0, tones.noise_sd * tones.noise_sd - own);
  const double blur = std::exp(-2.0 * std::pow(std::numbers::pi / step, 2) * noise);
  const double most = play * step / std::numbers::pi * std::max(blur, 0.1);
  const double fastest_hz = (fastest_over_mean * steps + 4.0) / left.seconds;
  return std::all_of(series.tones.begin(), series.tones.end(), [&](const Tone& tone) {
    return tone.amplitude < most && tone.hz < fastest_hz * std::max(1, tone.order);
  });
}

/// Takes such lines away; a steady light's bound then covers them.
void leave_out_drowned(ToneAnalysis& tones, const left_over::LeftOver& left) {
  if (!left.window_s) return;
  std::erase_if(tones.series, [&](const ToneSeries& series) {
    const bool noise = drowns(series, tones.mean, left, *left.window_s);
    if (!noise && !rounding_of_a_drift(series, tones, left)) return false;
    tones.detection_floor = std::max(tones.detection_floor, strongest_of(series));
    return true;
  });
}

/// The light at each pair of a slow and a fast moment.
double value_of(double slow, double fast, double fast_mean, bool scales) {
  return scales ? slow * fast / fast_mean : slow + fast - fast_mean;
}

double flicker_index(const CycleFigures& slow, const CycleFigures& fast, bool scales) {
  double sum = 0.0;
  for (const double s : slow.shape) {
    for (const double f : fast.shape) sum += value_of(s, f, fast.mean, scales);
  }
  const auto pairs = static_cast<double>(slow.shape.size() * fast.shape.size());
  if (!(sum > 0.0)) return std::max(slow.flicker_index, fast.flicker_index);
  const double mean = sum / pairs;
  double above = 0.0;
  for (const double s : slow.shape) {
    for (const double f : fast.shape) {
      above += std::max(0.0, value_of(s, f, fast.mean, scales) - mean);
    }
  }
  return above / pairs / mean;
}

}  // namespace

ToneAnalysis with_whole_capture(ToneAnalysis tones, const left_over::LeftOver& left,
                                std::size_t fundamentals) {
  const auto take_over = [&](const std::vector<ToneSeries>& found) {
    for (ToneSeries series : found) {
      series.fundamental += fundamentals;
      tones.series.push_back(std::move(series));
    }
  };
  if (left.few) {
    tones.series.clear();
    if (!left.few->hz) return tones;
    const ToneAnalysis edges = course::tones_of(*left.few);
    tones.mean = edges.mean;
    take_over(edges.series);
    lock_to_mains(tones.series.front());
    return tones;
  }
  leave_out_drowned(tones, left);
  if (!left.slow) return tones;
  std::erase_if(tones.series, [](const ToneSeries& series) {
    return series.fundamental_hz < course::slow_rhythms_below_hz;
  });
  take_over(left.slow->tones.series);
  std::stable_sort(
      tones.series.begin(), tones.series.end(),
      [](const ToneSeries& a, const ToneSeries& b) { return strongest_of(a) > strongest_of(b); });
  return tones;
}

CycleFigures combined(const CycleFigures& slow, const CycleFigures& fast, const Swing& readings) {
  CycleFigures best;
  double least = 0.0;
  for (const bool scales : {true, false}) {
    CycleFigures both = slow;
    both.highest = value_of(slow.highest, fast.highest, fast.mean, scales);
    both.lowest = value_of(slow.lowest, fast.lowest, fast.mean, scales);
    both.flicker_index = flicker_index(slow, fast, scales);
    const double sum = both.highest + both.lowest;
    both.percent_flicker = sum > 0.0 ? 100.0 * (both.highest - both.lowest) / sum : 100.0;
    both.percent_flicker_sd = std::hypot(slow.percent_flicker_sd, fast.percent_flicker_sd);
    both.flicker_index_sd = std::hypot(slow.flicker_index_sd, fast.flicker_index_sd);
    const double miss =
        std::abs(both.highest - readings.highest) + std::abs(both.lowest - readings.lowest);
    if (scales || miss < least) {
      best = both;
      least = miss;
    }
  }
  return best;
}

std::optional<CycleFigures> whole_cycle(const left_over::LeftOver& left,
                                        const std::optional<CycleFigures>& fast,
                                        const Swing& readings) {
  if (left.few) return left.few->hz ? std::optional(course::figures_of(*left.few)) : std::nullopt;
  if (!left.slow) return std::nullopt;
  if (!fast || !(fast->mean > 0.0)) return left.slow->cycle;
  return combined(left.slow->cycle, *fast, readings);
}

}  // namespace lampbeat::signal::states
