// What tells a light that goes on from one that has become another, over randomly drawn lights: the
// statistics that `explains` (signal/states) compares, of a second window of the same light and of
// one that changed.
//   bench_same_light [draws [seed]]

#include <fmt/core.h>

#include <algorithm>
#include <functional>
#include <random>
#include <vector>

#include "bench/populations.hpp"
#include "lampbeat/tones.hpp"
#include "support/draws.hpp"
#include "support/signals.hpp"

namespace {

using namespace lampbeat;
using test::quantile;

/// A ripple or a dimmer's pulses, of some depth.
struct Lamp {
  double hz = 0.0;
  double depth = 0.0;
  double duty = 0.0;  ///< 0: a sine
  double level = 1.0;

  double at(double t) const {
    const double turn = hz * t - std::floor(hz * t);
    const double shape =
        duty > 0.0 ? (turn < duty ? 1.0 - duty : -duty) : 0.5 * std::cos(signals::two_pi * turn);
    return level * (1.0 + depth * shape);
  }
};

Lamp drawn(test::Random& random) {
  Lamp lamp;
  const bool mains = test::often(random, 0.5);
  lamp.hz = mains ? 100.0 : test::logarithmic(random, 120.0, 1500.0);
  lamp.depth = test::logarithmic(random, 0.02, 1.0);
  lamp.duty = mains ? 0.0 : test::between(random, 0.1, 0.9);
  return lamp;
}

/// The same light later: its clock and its level a little off.
Lamp later(test::Random& random, Lamp lamp) {
  lamp.hz *= 1.0 + test::between(random, -2e-4, 2e-4);
  lamp.level *= 1.0 + test::between(random, -0.05, 0.05);
  return lamp;
}

Lamp changed(test::Random& random, Lamp lamp) {
  if (test::often(random, 0.5)) {
    lamp.hz *= 1.0 + test::logarithmic(random, 0.005, 0.1);
  } else {
    lamp.depth *= test::between(random, 0.3, 0.8);
  }
  return lamp;
}

struct Compared {
  std::vector<double> noise;   ///< standard deviation of the rest, over the first window's
  std::vector<double> change;  ///< of the strongest tone, relative
};

void compare(Compared& all, const ToneAnalysis& first, const signals::Samples& window) {
  const ToneAnalysis next = follow_tones(window.window(), first);
  all.noise.push_back(next.noise_sd / first.noise_sd);
  const double was = first.series.front().tones.front().amplitude / first.mean;
  const double is = next.series.front().tones.front().amplitude / next.mean;
  all.change.push_back(std::abs(is - was) / was);
}

void print(const char* what, const char* statistic, const std::vector<double>& values,
           double threshold) {
  const auto past =
      std::count_if(values.begin(), values.end(), [&](double value) { return value > threshold; });
  fmt::print(
      "{:>8}  {:<28} 1 % {:>6.3f}  median {:>6.3f}  90 % {:>6.3f}  99 % {:>7.3f}  past {} {:.1f} "
      "%\n",
      what, statistic, quantile(values, 0.01), quantile(values, 0.5), quantile(values, 0.9),
      quantile(values, 0.99), threshold,
      100.0 * static_cast<double>(past) / static_cast<double>(values.size()));
}

void print(const char* what, const Compared& all) {
  print(what, "rest over the first window's", all.noise, 1.3);
  print(what, "strongest tone, change", all.change, 0.1);
}

}  // namespace

int main(int count, char** arguments) {
  const auto [draws, seed] = test::asked_for(count, arguments, 1000);
  test::Random random(seed);
  Compared same, other;
  int found = 0;
  for (int i = 0; i < draws; ++i) {
    const double rate_hz = test::logarithmic(random, 4000.0, 50000.0);
    const double noise = test::logarithmic(random, 3e-4, 0.02);
    const Lamp lamp = drawn(random);
    const auto recorded = [&](const Lamp& one) {
      signals::Samples s = signals::even_times(rate_hz, 1.0);
      const double start = test::between(random, 0.0, 1.0);
      signals::fill(s, [&](double t) { return one.at(t + start); });
      signals::add_noise(s, noise, static_cast<unsigned>(random()));
      return s;
    };
    const ToneAnalysis first = analyse_tones(recorded(lamp).window(), {});
    if (first.series.empty()) continue;
    ++found;
    compare(same, first, recorded(later(random, lamp)));
    compare(other, first, recorded(changed(random, lamp)));
  }
  fmt::print("{} lights\n", found);
  print("same", same);
  print("changed", other);
  return 0;
}
