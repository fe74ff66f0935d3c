#include "signal/left_over/strays.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <cstddef>
#include <functional>
#include <optional>
#include <vector>

#include "arithmetic/lanes.hpp"
#include "arithmetic/median.hpp"
#include "signal/pulses/two_levels.hpp"

namespace lampbeat::signal::left_over {
namespace {

/// Neighbourhoods of a window, each with a scatter of its own, so that flashes in some of them do
/// not widen the others'; told from a few of its readings, which a median needs no more of.
constexpr std::size_t stretches = 16;
constexpr std::size_t readings_looked_at = 255;
/// Gaussian noise strays so far in no capture anybody can take.
constexpr double sds = 8.0;
/// Fewer strays in a window are the recorder's.
constexpr std::size_t fewest = 4;
constexpr std::size_t together = 32;  ///< readings looked at in one go

struct Scatter {
  double middle = 0.0;
  double sd = 0.0;
};

Scatter scatter_of(std::span<const double> part) {
  const std::size_t stride = std::max<std::size_t>(1, part.size() / readings_looked_at);
  std::vector<double> some;
  for (std::size_t i = 0; i < part.size(); i += stride) some.push_back(part[i]);
  Scatter scatter;
  scatter.middle = arithmetic::upper_median(some);
  for (double& x : some) x = std::abs(x - scatter.middle);
  scatter.sd = arithmetic::normal_sd * arithmetic::upper_median(some);
  return scatter;
}

/// The shortest and the longest stay at one of two levels, in samples.
struct Stays {
  std::size_t shortest = 0, longest = 0;
  void add(std::size_t samples) {
    shortest = shortest == 0 ? samples : std::min(shortest, samples);
    longest = std::max(longest, samples);
  }
  /// As a dimmer's are that lengthens every other pulse for finer steps.
  bool alike() const {
    constexpr double as_long = 1.6;
    constexpr double between_samples = 2.0;
    return static_cast<double>(longest) <=
           as_long * static_cast<double>(shortest) + between_samples;
  }
};

/// A light that is switched between two flat levels, in pulses all alike: nothing strays in it,
/// however well rhythms say when it switches. A flash or a gap would be a stay of its own.
bool even_pulses(const Window& light) {
  const std::optional<pulses::TwoLevels> levels = pulses::two_levels(light);
  if (!levels || !levels->flat) return false;
  const double middle = levels->middle();
  const double noise = sds * std::max(levels->high.noise_sd, levels->low.noise_sd);
  Stays high, low;
  std::size_t since = 0;  // of the stay that goes on; the first began before the window
  std::size_t edges = 0;
  for (std::size_t i = 0; i < light.size(); ++i) {
    const double x = light.value[i];
    if (x > levels->high.value + noise || x < levels->low.value - noise) return false;
    if (i == 0 || (x > middle) == (light.value[i - 1] > middle)) continue;
    if (edges++ > 0) (x > middle ? low : high).add(i - since);
    since = i;
  }
  return high.shortest > 0 && low.shortest > 0 && high.alike() && low.alike();
}

}  // namespace

Strays strays_in(std::span<const double> rest, double least, double start_s, const Window& light) {
  constexpr std::size_t fewest_readings = 32 * stretches;
  Strays strays;
  if (rest.size() < fewest_readings) {
    if (!rest.empty()) strays.scatter_sd = scatter_of(rest).sd;
    return strays;
  }
  const std::size_t length = rest.size() / stretches;
  std::array<Scatter, stretches> each;
  std::vector<double> sd;
  for (std::size_t s = 0; s < stretches; ++s) {
    each[s] = scatter_of(rest.subspan(s * length, length));
    sd.push_back(each[s].sd);
  }
  // Some stretch lies between flashes, and most do.
  strays.scatter_sd = arithmetic::upper_median(sd);
  const double bound = std::max(least, sds * strays.scatter_sd);
  std::vector<double> far;
  std::size_t first = 0;
  for (std::size_t s = 0; s < stretches; ++s) {
    const std::size_t end = s + 1 == stretches ? rest.size() : (s + 1) * length;
    const double limit = std::max(bound, sds * each[s].sd);
    // Nearer by more than rounding: this only tells where it is worth looking.
    const double near = limit * (1.0 - 1e-12) - 1e-15 * std::abs(each[s].middle);
    for (std::size_t i = s * length; i < end; i += together) {
      const auto some = rest.subspan(i, std::min(together, end - i));
      if (!arithmetic::any_outside(some, each[s].middle - near, each[s].middle + near)) continue;
      for (std::size_t k = i; k < i + some.size(); ++k) {
        const double off = std::abs(rest[k] - each[s].middle);
        if (off <= limit) continue;
        if (far.empty()) first = k;
        far.push_back(off);
      }
    }
  }
  if (far.size() < fewest || even_pulses(light)) {
    return Strays{0, 0.0, 0.0, strays.scatter_sd};
  }
  strays.samples = far.size();
  strays.at_s = start_s + static_cast<double>(first) * light.interval_s;
  const auto fourth = far.begin() + (fewest - 1);
  std::nth_element(far.begin(), fourth, far.end(), std::greater<>());
  strays.off = *fourth;
  return strays;
}

void join(Strays& all, const Strays& more) {
  if (more.off > all.off) {
    all.off = more.off;
    all.at_s = more.at_s;
  }
  all.samples += more.samples;
  all.scatter_sd = std::max(all.scatter_sd, more.scatter_sd);
}

}  // namespace lampbeat::signal::left_over
