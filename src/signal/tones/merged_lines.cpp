#include "signal/tones/merged_lines.hpp"

#include <algorithm>
#include <cmath>
#include <complex>
#include <cstddef>
#include <optional>
#include <vector>

#include "arithmetic/alias.hpp"
#include "arithmetic/phase.hpp"

namespace lampbeat::signal::tones {
namespace {

using Complex = std::complex<double>;

/// What a merged line leaves lies within its main lobe.
constexpr double beside_bins = 3.0;
/// Two lines farther apart are found one by one.
constexpr double farthest_bins = 2.5;
/// Places tried for the two, bins to either side; the fit goes the rest of the way.
constexpr double reach_bins = 2.0;
constexpr double raster_bins = 0.125;
/// A line turned back to stand still is slow: so many means of it show all that swings within
/// reach.
constexpr std::size_t means = 64;
constexpr int steps_apart = 30;
/// Each of the two, and their distance, is known to so many standard deviations; worse, and what
/// they tell is next to nothing.
constexpr double known_sds = 8.0;
/// A line that is one and swings in depth or frequency takes two that nearly cancel each other.
constexpr double most_cancelled = 3.0;
/// A companion weaker than this share moves percent flicker by less than that share of itself, and
/// a slow change of the light looks like it.
constexpr double least_of_a_pair = 0.02;
/// What two may leave, of the weaker and of what one left: more, and they are not what is there.
constexpr double pair_may_leave = 0.1;
/// Beside those, lines are too weak to matter merged.
constexpr std::size_t strongest_parted = 4;

double left_beside(const Spectrum& left, double hz) {
  const auto bin = [&](double f) {
    return static_cast<std::size_t>(std::max(0.0, f / left.bin_hz));
  };
  double most = 0.0;
  const std::size_t end = std::min(left.amplitude.size(), bin(hz + beside_bins * left.bin_hz) + 2);
  for (std::size_t i = bin(hz - beside_bins * left.bin_hz); i < end; ++i) {
    most = std::max(most, left.amplitude[i]);
  }
  return most;
}

/// A line, and what it left, turned back to stand still: means of equal stretches.
std::vector<Complex> standing_still(const Search& search, const lines::FittedLine& line) {
  const Window& window = search.window;
  const double seen = arithmetic::folded_hz(line.hz, search.rate_hz);
  const std::vector<double>& left = search.found.fit.residual;
  std::vector<Complex> stretch(means);
  std::vector<double> count(means);
  for (std::size_t i = 0; i < window.size(); ++i) {
    const double t = window.time_at(i);
    const auto m =
        std::min(means - 1, static_cast<std::size_t>(t / search.duration_s * double{means}));
    const double rad = arithmetic::turn * line.hz * t;
    const double x = left[i] + line.amplitude * std::cos(rad + line.phase_rad);
    stretch[m] += x * std::polar(1.0, -arithmetic::turn * seen * t);
    count[m] += 1.0;
  }
  for (std::size_t m = 0; m < means; ++m) {
    if (count[m] > 0.0) stretch[m] /= count[m];
  }
  return stretch;
}

struct Places {
  double one = 0.0;  ///< bins beside the merged line
  double other = 0.0;
};

/// The two places on the raster that leave the least of it.
Places best_places(const std::vector<Complex>& stretch) {
  const auto many = static_cast<std::size_t>(2.0 * reach_bins / raster_bins) + 1;
  const auto place = [](std::size_t i) {
    return static_cast<double>(i) * raster_bins - reach_bins;
  };
  const auto wave = [](double bins, std::size_t m) {
    return std::polar(1.0, arithmetic::turn * bins * (static_cast<double>(m) + 0.5) / means);
  };
  std::vector<Complex> along(many);
  std::vector<Complex> overlap(many);  // of two waves so many raster steps apart
  for (std::size_t i = 0; i < many; ++i) {
    for (std::size_t m = 0; m < means; ++m) {
      along[i] += std::conj(wave(place(i), m)) * stretch[m] / double{means};
      overlap[i] += wave(static_cast<double>(i) * raster_bins, m) / double{means};
    }
  }
  Places best;
  double most = -1.0;
  for (std::size_t i = 0; i < many; ++i) {
    for (std::size_t k = i + 2; k < many; ++k) {
      const Complex g = overlap[k - i];
      const double explained = (std::norm(along[i]) + std::norm(along[k]) -
                                2.0 * std::real(std::conj(along[i]) * g * along[k])) /
                               (1.0 - std::norm(g));
      if (explained <= most) continue;
      most = explained;
      best = {place(i), place(k)};
    }
  }
  return best;
}

/// The line and a second one, fitted with all others.
struct Parted {
  lines::LineFit fit;
  Spectrum left;
};

bool well_known(const lines::FittedLine& line) {
  return line.amplitude > known_sds * line.amplitude_sd;
}

bool are_two(const lines::FittedLine& one, const lines::FittedLine& other,
             const lines::FittedLine& merged, double duration_s) {
  const double apart_hz = std::abs(one.hz - other.hz);
  const double weaker = std::min(one.amplitude, other.amplitude);
  const double stronger = std::max(one.amplitude, other.amplitude);
  return apart_hz * duration_s < farthest_bins && well_known(one) && well_known(other) &&
         apart_hz > known_sds * std::hypot(one.hz_sd, other.hz_sd) &&
         stronger < most_cancelled * merged.amplitude && weaker > least_of_a_pair * stronger;
}

std::optional<Parted> parted(const Search& search, std::size_t which) {
  const FoundLines& found = search.found;
  const lines::FittedLine& merged = found.fit.lines[which];
  const Places places = best_places(standing_still(search, merged));
  lines::LineModel model = found.fit.model;
  model.fundamental_hz[model.lines[which].fundamental] = merged.hz + places.one / search.duration_s;
  model.lines.push_back({model.fundamental_hz.size(), 1});
  model.fundamental_hz.push_back(merged.hz + places.other / search.duration_s);
  Parted two{lines::fit_lines(search.fittable, model, steps_apart), {}};
  const lines::FittedLine& one = two.fit.lines[which];
  const lines::FittedLine& other = two.fit.lines.back();
  if (!are_two(one, other, merged, search.duration_s)) return std::nullopt;
  two.left = residual_spectrum(search, two.fit);
  const double seen = arithmetic::folded_hz(merged.hz, search.rate_hz);
  const double allowed =
      pair_may_leave * std::min({one.amplitude, other.amplitude, left_beside(found.left, seen)});
  if (left_beside(two.left, seen) > std::max(allowed, threshold_at(two.left, seen))) {
    return std::nullopt;
  }
  return two;
}

/// Places of the strongest lines.
std::vector<std::size_t> strongest_first(const lines::LineFit& fit) {
  std::vector<std::size_t> order(fit.lines.size());
  for (std::size_t i = 0; i < order.size(); ++i) order[i] = i;
  std::sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) {
    return fit.lines[a].amplitude > fit.lines[b].amplitude;
  });
  order.resize(std::min(order.size(), strongest_parted));
  return order;
}

}  // namespace

bool part_merged(Search& search) {
  FoundLines& found = search.found;
  bool any = false;
  for (const std::size_t which : strongest_first(found.fit)) {
    if (found.fit.lines.size() >= search.most_lines + strongest_parted) break;
    const double seen = arithmetic::folded_hz(found.fit.lines[which].hz, search.rate_hz);
    const double least = std::max(threshold_at(found.left, seen),
                                  least_of_a_pair * found.fit.lines[which].amplitude);
    if (left_beside(found.left, seen) < least) continue;
    if (auto two = parted(search, which)) {
      found.fit = std::move(two->fit);
      found.left = std::move(two->left);
      any = true;
    }
  }
  return any;
}

}  // namespace lampbeat::signal::tones
