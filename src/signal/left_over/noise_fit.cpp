#include "signal/left_over/noise_fit.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <utility>
#include <vector>

namespace lampbeat::signal::left_over {
namespace {

/// Recorders filter what lies close below half their rate.
constexpr double filtered_from = 0.9;
constexpr double most_pink = 0.015;  ///< of the level
/// How finely corners are tried.
constexpr double corner_step = 1.08;
/// Rolled noise, over the level. Lamps flutter slowly; what reaches far up is the sensor's.
constexpr double most_rolled = 0.01;
constexpr double most_rolled_far = 0.03;
constexpr double far_share = 0.1;  ///< of half the rate
constexpr double lowest_corner_hz = 50.0;
constexpr std::array filter_orders = {1, 2, 4, 16};
/// Few readings scatter: the quarter of the bands lies below the level by up to so much.
constexpr std::array above_quarter = {1.0, 1.15, 1.35};
/// A model may miss quiet bands by as much as it likes, the others not.
constexpr double most_misfit_a_band = 2.5;
/// A further part must fit so much better, in mean squares by octaves.
constexpr double least_gain = 0.02;
/// No 1/f part mends a fit so much worse than the best.
constexpr double hopeless = 4.0;
/// Of 1/f^slope noise: what sensors and amplifiers are ordinarily found to have.
constexpr std::array pink_slopes = {0.7, 0.8, 0.9, 1.0, 1.1, 1.2, 1.3, 1.4};
/// So many independent readings make a band certain enough: for the level, and for a shape.
constexpr double certain_level = 12.0;
constexpr double certain_shape = 6.0;
/// 1/f noise begins below the last band that stands so much above the rest.
constexpr double stands_above = 1.5;

/// Neighbours joined until each has some certainty.
std::vector<spectrum::Band> coarser(std::span<const spectrum::Band> bands, double fewest) {
  std::vector<spectrum::Band> joined;
  for (const spectrum::Band& band : bands) {
    if (joined.empty() || joined.back().independent >= fewest) {
      joined.push_back(band);
      continue;
    }
    spectrum::Band& last = joined.back();
    const double sum = last.independent + band.independent;
    last.density = (last.density * last.independent + band.density * band.independent) / sum;
    last.independent = sum;
    last.to_hz = band.to_hz;
  }
  return joined;
}

/// The level of the quietest bands that agree with each other.
double quietest(std::span<const spectrum::Band> bands, const NoiseKnowledge& known,
                const NoiseModel& beside) {
  std::vector<spectrum::Band> sorted;
  for (const spectrum::Band& band : coarser(bands, certain_level)) {
    spectrum::Band rest = band;
    rest.density = std::max(band.density - beside.dark_density(centre_hz(band)), 0.0);
    const double hz = centre_hz(band);
    if (hz <= filtered_from * known.half_rate_hz && hz >= known.trusted_from_hz) {
      sorted.push_back(rest);
    }
  }
  if (sorted.empty()) sorted = coarser(bands, certain_level);
  std::sort(sorted.begin(), sorted.end(),
            [](const spectrum::Band& a, const spectrum::Band& b) { return a.density < b.density; });
  spectrum::Band pool;
  for (const spectrum::Band& band : sorted) {
    if (pool.independent > 0.0) {
      const double sd = std::sqrt(1.0 / band.independent + 1.0 / pool.independent);
      if (band.density > white_play * std::exp(chance_sds * sd) * pool.density) break;
    }
    const double sum = pool.independent + band.independent;
    pool.density = (pool.density * pool.independent + band.density * band.independent) / sum;
    pool.independent = sum;
  }
  return pool.density;
}

/// The lower quarter, by octaves, of what the bands hold beyond `beneath` over a shape.
template <typename Shape>
double lower_quarter(std::span<const spectrum::Band> bands, const NoiseModel& beneath,
                     double top_hz, Shape shape) {
  std::vector<std::pair<double, double>> strength;  // and its share of the octaves
  double octaves = 0.0;
  for (const spectrum::Band& band : bands) {
    if (band.from_hz >= top_hz) break;
    const double share = std::log2(band.to_hz / band.from_hz);
    const double hz = centre_hz(band);
    strength.emplace_back((band.density - beneath.density(hz)) / shape(hz), share);
    octaves += share;
  }
  std::sort(strength.begin(), strength.end());
  double passed = 0.0;
  for (const auto& [value, share] : strength) {
    passed += share;
    if (passed >= octaves / 4.0) return std::max(value, 0.0);
  }
  return 0.0;
}

/// How well a model fits: mean squared logarithm of density over model, by octaves.
double misfit(std::span<const spectrum::Band> bands, const NoiseModel& model) {
  double sum = 0.0;
  double octaves = 0.0;
  for (const spectrum::Band& band : bands) {
    const double share = std::log2(band.to_hz / band.from_hz);
    octaves += share;
    if (!(band.density > 0.0)) continue;
    const double off = std::log(band.density / model.density(centre_hz(band)));
    sum += off * std::max(off, -most_misfit_a_band) * share;
  }
  return octaves > 0.0 ? sum / octaves : 0.0;
}

/// Adds the part that falls as a power of the frequency, where the bands show one.
void add_pink(NoiseModel& model, std::span<const spectrum::Band> bands,
              const NoiseKnowledge& known) {
  const std::vector<spectrum::Band> joined = coarser(bands, certain_shape);
  double beneath_power = 0.0;
  double top_hz = 0.0;
  for (const spectrum::Band& band : bands)
    beneath_power += model.density(centre_hz(band)) * width_hz(band);
  for (const spectrum::Band& band : joined) {
    if (band.density > stands_above * model.density(centre_hz(band))) top_hz = band.to_hz;
  }
  const double most = std::max(std::pow(most_pink * known.level, 2), beneath_power);
  NoiseModel best = model;
  double least = misfit(joined, model);
  for (const double slope : pink_slopes) {
    NoiseModel tried = model;
    tried.slope = slope;
    tried.pink =
        lower_quarter(joined, model, top_hz, [&](double hz) { return 1.0 / std::pow(hz, slope); });
    double power = 0.0;
    for (const spectrum::Band& band : bands)
      power += tried.pink_density(centre_hz(band)) * width_hz(band);
    if (!(tried.pink > 0.0) || power > most) continue;
    if (const double off = misfit(joined, tried); off < least) {
      least = off;
      best = tried;
    }
  }
  model = best;
}

}  // namespace

NoiseModel fitted_noise(std::span<const spectrum::Band> bands, const NoiseKnowledge& known) {
  NoiseModel model;
  model.dark = known.dark;
  model.white = quietest(bands, known, model);
  if (!known.dark.empty() || !(model.white > 0.0)) return model;
  add_pink(model, bands, known);
  return model;
}

NoiseModel with_rolled(const NoiseModel& model, std::span<const spectrum::Band> bands,
                       const NoiseKnowledge& known) {
  const std::vector<spectrum::Band> joined = coarser(bands, certain_shape);
  NoiseModel best = model;
  double least = misfit(joined, model) - least_gain;
  NoiseModel white = model;
  white.pink = 0.0;
  for (const int order : filter_orders) {
    for (double corner = lowest_corner_hz; corner < known.half_rate_hz; corner *= corner_step) {
      NoiseModel tried = white;
      tried.rolled = {1.0, corner, order};
      const RolledNoise shape = tried.rolled;
      const double quarter = lower_quarter(joined, white, corner * (1.0 + 1.0 / order),
                                           [&](double hz) { return shape.at(hz); });
      const double most = corner > far_share * known.half_rate_hz ? most_rolled_far : most_rolled;
      for (const double above : above_quarter) {
        tried.pink = 0.0;
        tried.rolled.density = above * quarter;
        const bool small = tried.rolled.power() <= std::pow(most * known.level, 2);
        if (!(quarter > 0.0) || !small || misfit(joined, tried) > hopeless * (least + 1.0)) break;
        add_pink(tried, bands, known);
        if (const double off = misfit(joined, tried); off < least) {
          least = off;
          best = tried;
        }
      }
    }
  }
  return best;
}

}  // namespace lampbeat::signal::left_over
