#include "signal/left_over/noise_fit.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <numeric>
#include <utility>
#include <vector>

#include "signal/left_over/tried_places.hpp"

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

constexpr double unbounded = std::numeric_limits<double>::infinity();

/// Bands as models are tried against them: the bands themselves, and joined to be certain enough.
struct TriedBands {
  explicit TriedBands(std::span<const spectrum::Band> bands)
      : all(bands), joined(coarser(bands, certain_shape)) {}
  TriedPlaces all;
  TriedPlaces joined;
};

/// The lower quarter, by octaves, of what the places below `top_hz` hold beyond a model over a
/// shape. `shape` tells the shape at a place.
template <typename Shape>
double lower_quarter(const TriedPlaces& places, const EvenParts& beneath, double top_hz,
                     Shape shape) {
  std::vector<std::pair<double, double>> strength;  // and its share of the octaves
  strength.reserve(places.size());
  double octaves = 0.0;
  for (std::size_t i = 0; i < places.size() && places.from_hz[i] < top_hz; ++i) {
    strength.emplace_back((places.density[i] - beneath.with(0.0, i)) / shape(i), places.octaves[i]);
    octaves += places.octaves[i];
  }
  std::sort(strength.begin(), strength.end());
  double passed = 0.0;
  for (const auto& [value, share] : strength) {
    passed += share;
    if (passed >= octaves / 4.0) return std::max(value, 0.0);
  }
  return 0.0;
}

/// How well a model fits: mean squared logarithm of density over model, by octaves. Infinite where
/// it is not below `least`: such a model is not worth another look. `model` tells the model's
/// density at a place.
template <typename Model>
double misfit(const TriedPlaces& places, double least, Model model) {
  const double octaves = std::accumulate(places.octaves.begin(), places.octaves.end(), 0.0);
  if (!(octaves > 0.0)) return 0.0;
  double sum = 0.0;
  for (std::size_t i = 0; i < places.size(); ++i) {
    if (!(places.density[i] > 0.0)) continue;
    const double off = std::log(places.density[i] / model(i));
    sum += off * std::max(off, -most_misfit_a_band) * places.octaves[i];
    if (!(sum / octaves < least)) return unbounded;
  }
  return sum / octaves;
}

/// A model without a 1/f part, what it comes to at the places of the bands, and how well it fits.
struct Beneath {
  Beneath(const NoiseModel& without_pink, const TriedBands& bands)
      : model(without_pink),
        all(even_parts(without_pink, bands.all)),
        joined(even_parts(without_pink, bands.joined)) {
    off = misfit(bands.joined, unbounded, [&](std::size_t i) { return joined.with(0.0, i); });
  }
  NoiseModel model;
  EvenParts all;
  EvenParts joined;
  double off = 0.0;
};

/// A model and how well it fits.
struct Fitted {
  NoiseModel model;
  double off = unbounded;
};

/// Adds the part that falls as a power of the frequency, where the bands show one that makes the
/// misfit smaller, and smaller than `least`.
Fitted with_pink(const Beneath& beneath, const TriedBands& bands, const NoiseKnowledge& known,
                 double least = unbounded) {
  const TriedPlaces& all = bands.all;
  const TriedPlaces& joined = bands.joined;
  double beneath_power = 0.0;
  double top_hz = 0.0;
  for (std::size_t i = 0; i < all.size(); ++i) {
    beneath_power += beneath.all.with(0.0, i) * all.width_hz[i];
  }
  for (std::size_t i = 0; i < joined.size(); ++i) {
    if (joined.density[i] > stands_above * beneath.joined.with(0.0, i)) top_hz = joined.to_hz[i];
  }
  const double most = std::max(std::pow(most_pink * known.level, 2), beneath_power);
  Fitted best{beneath.model, beneath.off};
  for (std::size_t s = 0; s < pink_slopes.size(); ++s) {
    const std::vector<double>& falls = joined.falls[s];
    const double pink = lower_quarter(joined, beneath.joined, top_hz,
                                      [&](std::size_t i) { return 1.0 / falls[i]; });
    double power = 0.0;
    for (std::size_t i = 0; i < all.size(); ++i) {
      power += pink / all.falls[s][i] * all.width_hz[i];
    }
    if (!(pink > 0.0) || power > most) continue;
    const double off = misfit(joined, std::min(best.off, least), [&](std::size_t i) {
      return beneath.joined.with(pink / falls[i], i);
    });
    if (off < best.off) {
      best.off = off;
      best.model.pink = pink;
      best.model.slope = pink_slopes[s];
    }
  }
  return best;
}

}  // namespace

NoiseModel fitted_noise(std::span<const spectrum::Band> bands, const NoiseKnowledge& known) {
  NoiseModel model;
  model.dark = known.dark;
  model.white = quietest(bands, known, model);
  if (!known.dark.empty() || !(model.white > 0.0)) return model;
  const TriedBands tried(bands);
  return with_pink(Beneath(model, tried), tried, known).model;
}

NoiseModel with_rolled(const NoiseModel& model, std::span<const spectrum::Band> bands,
                       const NoiseKnowledge& known) {
  const TriedBands tried(bands);
  const TriedPlaces& joined = tried.joined;
  Fitted best{model, misfit(joined, unbounded, [&](std::size_t i) {
                       return model.density(joined.hz[i]);
                     }) - least_gain};
  NoiseModel white = model;
  white.pink = 0.0;
  const EvenParts flat = even_parts(white, joined);
  for (const int order : filter_orders) {
    for (double corner = lowest_corner_hz; corner < known.half_rate_hz; corner *= corner_step) {
      const RolledNoise shape = {1.0, corner, order};
      const double quarter = lower_quarter(joined, flat, corner * (1.0 + 1.0 / order),
                                           [&](std::size_t i) { return shape.at(joined.hz[i]); });
      if (!(quarter > 0.0)) continue;
      const double most = corner > far_share * known.half_rate_hz ? most_rolled_far : most_rolled;
      for (const double above : above_quarter) {
        NoiseModel rolled = white;
        rolled.rolled = {above * quarter, corner, order};
        if (rolled.rolled.power() > std::pow(most * known.level, 2)) break;
        const Beneath beneath(rolled, tried);
        if (beneath.off > hopeless * (best.off + 1.0)) break;
        if (const Fitted fit = with_pink(beneath, tried, known, best.off); fit.off < best.off) {
          best = fit;
        }
      }
    }
  }
  return best.model;
}

}  // namespace lampbeat::signal::left_over
