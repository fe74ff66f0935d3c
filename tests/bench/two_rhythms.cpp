// How far off percent flicker is when two rhythms share a window, each taken apart and both
// together: a rectified or phase-cut ripple beside a dimmer's pulses, added or multiplied.
//   bench_two_rhythms [draws [seed]]

#include <fmt/core.h>

#include <algorithm>
#include <cmath>
#include <numbers>
#include <vector>

#include "bench/populations.hpp"
#include "lampbeat/tones.hpp"
#include "signal/cycle/each_rhythm.hpp"
#include "signal/tones/rhythm.hpp"
#include "support/draws.hpp"
#include "support/signals.hpp"

namespace {

using namespace lampbeat;

double begun(double turns) { return turns - std::floor(turns); }

struct Ripple {
  double hz = 0.0;
  double start = 0.0;
  double depth = 0.0;
  double cut = 0.0;  ///< share of the half cycle that a phase-cut dimmer leaves dark
  double of(double turns) const {
    const double turn = begun(turns);
    return 1.0 - depth + (turn < cut ? 0.0 : depth * std::abs(std::sin(std::numbers::pi * turn)));
  }
};

struct Pulses {
  double hz = 0.0;
  double start = 0.0;
  double depth = 0.0;
  double duty = 0.0;
  double rise = 0.0;  ///< share of the cycle
  double of(double turns) const {
    const double turn = begun(turns);
    double on = turn < duty ? 1.0 : 0.0;
    if (rise > 0.0) {
      const double down = turn < duty ? 1.0 : 1.0 - (turn - duty) / rise;
      on = std::clamp(std::min(turn / rise, down), 0.0, 1.0);
    }
    return 1.0 - depth + depth * on;
  }
};

struct Swing {
  double low = 1e9;
  double high = 0.0;
  double mean = 0.0;
};

template <typename Part>
Swing swing_of(const Part& part) {
  constexpr int places = 20000;
  Swing swing;
  for (int i = 0; i < places; ++i) {
    const double x = part.of((i + 0.5) / places);
    swing.low = std::min(swing.low, x);
    swing.high = std::max(swing.high, x);
    swing.mean += x / places;
  }
  return swing;
}

double percent(double low, double high) { return 100.0 * (high - low) / (high + low); }

/// Errors, in percent of the true figure, and in the uncertainties stated.
struct Errors {
  std::vector<double> ripple, pulses, together;
  std::vector<double> sds;
};

void print(const char* what, const std::vector<double>& errors) {
  if (errors.empty()) return;
  const auto at = [&](double share) { return test::quantile(errors, share); };
  fmt::print("{:>9} {:>6} {:>8.3f} {:>8.3f} {:>8.3f} {:>8.3f} {:>9.2f}\n", what, errors.size(),
             at(0.5), at(0.9), at(0.97), at(0.99), at(1.0));
}

void run(test::Random& random, Errors& errors) {
  const double rate_hz = test::logarithmic(random, 4000.0, 50000.0);
  Ripple ripple{(test::often(random, 0.5) ? 100.0 : 120.0) * test::between(random, 0.999, 1.001),
                test::between(random, 0.0, 1.0), test::logarithmic(random, 0.1, 0.95), 0.0};
  if (test::often(random, 0.5)) ripple.cut = test::between(random, 0.05, 0.4);
  Pulses pulses{test::logarithmic(random, 150.0, rate_hz / 20.0), test::between(random, 0.0, 1.0),
                test::logarithmic(random, 0.1, 1.0), test::between(random, 0.05, 0.95), 0.0};
  if (test::often(random, 0.5)) pulses.rise = test::logarithmic(random, 0.002, 0.1);
  const bool multiplied = test::often(random, 0.5);
  const double level = test::between(random, 0.3, 1.0);  // of the pulses, where they are added
  signals::Samples s = signals::even_times(rate_hz, 1.0);
  signals::fill(s, [&](double t) {
    const double a = ripple.of(ripple.hz * t + ripple.start);
    const double b = pulses.of(pulses.hz * t + pulses.start);
    return multiplied ? a * b : a + level * b;
  });
  const Swing a = swing_of(ripple);
  const Swing b = swing_of(pulses);
  const double mean = multiplied ? a.mean * b.mean : a.mean + level * b.mean;
  signals::add_noise(s, test::logarithmic(random, 1e-4, 0.02) * mean,
                     static_cast<unsigned>(random()));
  const double beside_a = multiplied ? 0.0 : level * b.mean;
  const double beside_b = multiplied ? 0.0 : a.mean / level;
  const double true_ripple = percent(a.low + beside_a, a.high + beside_a);
  const double true_pulses = percent(b.low + beside_b, b.high + beside_b);
  const double true_both = multiplied ? percent(a.low * b.low, a.high * b.high)
                                      : percent(a.low + level * b.low, a.high + level * b.high);
  const auto choice = signal::tones::choose_rhythms(analyse_tones(s.window(), {}));
  const auto apart = signal::cycle::take_apart(s.window(), choice);
  const auto off = [](double found, double truth) { return 100.0 * std::abs(found / truth - 1.0); };
  for (const auto& alone : apart.alone) {
    const double found = alone.folded.figures.percent_flicker;
    const double sd = alone.folded.figures.percent_flicker_sd;
    const bool slow = std::abs(alone.rhythm.hz - ripple.hz) < 0.5;
    errors.sds.push_back(std::abs(found - (slow ? true_ripple : true_pulses)) / sd);
    if (std::abs(alone.rhythm.hz - ripple.hz) < 0.5)
      errors.ripple.push_back(off(found, true_ripple));
    if (std::abs(alone.rhythm.hz - pulses.hz) < 0.5)
      errors.pulses.push_back(off(found, true_pulses));
  }
  if (apart.together) errors.together.push_back(off(apart.together->percent_flicker, true_both));
}

}  // namespace

int main(int count, char** arguments) {
  const auto [draws, seed] = test::asked_for(count, arguments, 500);
  test::Random random(seed);
  Errors errors;
  for (int i = 0; i < draws; ++i) run(random, errors);
  fmt::print("error of percent flicker in percent of itself\n");
  fmt::print("{:>9} {:>6} {:>8} {:>8} {:>8} {:>8} {:>9}\n", "", "found", "median", "90 %", "97 %",
             "99 %", "most");
  print("ripple", errors.ripple);
  print("pulses", errors.pulses);
  print("together", errors.together);
  print("±", errors.sds);
  return 0;
}
