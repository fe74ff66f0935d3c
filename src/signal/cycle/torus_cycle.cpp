#include "signal/cycle/torus_cycle.hpp"

#include <algorithm>
#include <cmath>

#include "signal/cycle/cells_round.hpp"
#include "signal/cycle/fold.hpp"
#include "signal/cycle/percent_moved.hpp"
#include "signal/cycle/sample_index.hpp"

namespace lampbeat::signal::cycle {
namespace {

constexpr std::size_t most_shape_points = 256;
constexpr std::size_t least_shape_points = 32;
/// Two directions disagree by far more than the noise: by chance, once in 370 windows.
constexpr double disagreement_sds = 3.0;
/// Uncertainty of an average of two directions (chosen in one half, read in the other): what the
/// noise explains, unless they disagree by far more; then their disagreement.
double spread(double one, double other, double sd_from_noise) {
  const double disagreement = std::abs(one - other) / 2.0;
  return disagreement > disagreement_sds * sd_from_noise ? disagreement : sd_from_noise;
}

/// The averaged cycle of the first rhythm, starting at its phase zero; gaps are bridged straight.
std::vector<double> shape_of(const PhasedSamples& samples, std::size_t divisions) {
  const std::size_t points = std::clamp(divisions, least_shape_points, most_shape_points);
  std::vector<double> sum(points), count(points);
  for (std::size_t i = 0; i < samples.size(); ++i) {
    // Points lie at the middle of their share of the cycle, the first one around phase zero.
    const double place = samples.first[i] * static_cast<double>(points) + 0.5;
    const auto rounded = static_cast<std::size_t>(place);
    const std::size_t k = rounded < points ? rounded : 0;
    sum[k] += samples.value[i];
    count[k] += 1.0;
  }
  std::vector<double> shape(points);
  for (std::size_t k = 0; k < points; ++k) {
    if (count[k] > 0) shape[k] = sum[k] / count[k];
  }
  bridge(shape, count);
  return shape;
}

bool halves_meet(const Fold& fold) {
  for (std::size_t i = 0; i < fold.resolution.cells(); ++i) {
    if (fold.usable(i)) return true;
  }
  return false;
}

}  // namespace

std::optional<CycleFigures> torus_cycle(const Window& window, const std::vector<Rhythm>& rhythms) {
  std::optional<PhasedSamples> samples = phase_samples(window, rhythms);
  if (!samples) return std::nullopt;
  const Fold fold = best_fold(*samples);
  if (!(fold.mean > 0.0) || !halves_meet(fold)) return std::nullopt;

  CycleFigures figures;
  figures.mean = fold.mean;
  const Reading high[2] = {read_extreme(fold, 0, +1.0), read_extreme(fold, 1, +1.0)};
  const Reading low[2] = {read_extreme(fold, 0, -1.0), read_extreme(fold, 1, -1.0)};
  figures.highest = (high[0].value + high[1].value) / 2.0;
  figures.lowest = (low[0].value + low[1].value) / 2.0;
  const double sum = figures.highest + figures.lowest;
  if (!(sum > 0.0)) return std::nullopt;

  const auto percent = [](double highest, double lowest) {
    return 100.0 * (highest - lowest) / (highest + lowest);
  };
  const double high_variance = (high[0].variance + high[1].variance) / 4.0;
  const double low_variance = (low[0].variance + low[1].variance) / 4.0;
  const double flicker_sd = percent_moved(figures.highest, figures.lowest, std::sqrt(high_variance),
                                          std::sqrt(low_variance));
  // Noise can leave an unmodulated cycle's "highest" below its "lowest"; that is no flicker.
  figures.percent_flicker = std::max(0.0, percent(figures.highest, figures.lowest));
  figures.percent_flicker_sd = spread(percent(high[0].value, low[0].value),
                                      percent(high[1].value, low[1].value), flicker_sd);

  const SampleIndex index = sample_index(samples->value, fold.noise_sd);
  figures.flicker_index = index.value;
  figures.flicker_index_sd = index.sd;
  figures.shape = shape_of(*samples, fold.resolution.first);
  return figures;
}

}  // namespace lampbeat::signal::cycle
