// Two rhythms in one light, each judged by its own percent flicker: the light averaged over the
// other's phase. The truth is the described light's formula: extremes of a shape of mean 1 are
// those of its closed form (waveforms.hpp), of a sum the shares' sums, of a product the shape's
// own. IEEE Std 1789-2015, 8.1.1 (limits from memory) judges each at its own frequency.

#include <cmath>
#include <functional>
#include <random>
#include <string>

#include <fmt/format.h>

#include "lampbeat/standards.hpp"
#include "support/catch.hpp"
#include "support/coverage.hpp"
#include "support/draws.hpp"
#include "support/metering.hpp"
#include "support/noises.hpp"

namespace {

using namespace lampbeat;
using namespace lampbeat::test;
using noises::between;
using noises::logarithmic;
using noises::Random;

/// Of mean 1 over its phase.
struct Shape {
  std::string name;
  std::function<double(double)> at;
  double lowest = 1.0;
  double highest = 1.0;
};

Shape drawn_shape(Random& random, double percent) {
  const double m = percent / 100.0;
  const double kind = between(random, 0.0, 3.0);
  if (kind < 1.0) {
    return {"sine", [m](double p) { return 1.0 + m * std::sin(signals::two_pi * p); }, 1.0 - m,
            1.0 + m};
  }
  if (kind < 2.0) {
    const double duty = between(random, 0.05, 0.95);
    const double low = (1.0 - m) / (1.0 + m);
    const double mean = duty + (1.0 - duty) * low;
    return {fmt::format("PWM of duty {:.2f}", duty),
            [=](double p) { return (p < duty ? 1.0 : low) / mean; }, low / mean, 1.0 / mean};
  }
  const double r = 2.0 * std::atanh(m);
  const double mean = (1.0 - std::exp(-r)) / r;
  return {"decay", [=](double p) { return std::exp(-r * p) / mean; }, std::exp(-r) / mean,
          1.0 / mean};
}

double percent_of(double lowest, double highest) {
  return 100.0 * (highest - lowest) / (highest + lowest);
}

int level_of(const Ieee1789& judged) { return static_cast<int>(judged.level); }

/// A slow and a fast rhythm, side by side or one dimming the other.
struct Pair {
  double hz[2];
  Shape shape[2];
  double phase[2];
  bool product;
  double share;  ///< of the slow one in a sum

  explicit Pair(Random& random)
      : hz{logarithmic(random, 50.0, 400.0), logarithmic(random, 1000.0, 20000.0)},
        shape{drawn_shape(random, logarithmic(random, 2.0, 60.0)),
              drawn_shape(random, logarithmic(random, 2.0, 95.0))},
        phase{between(random, 0.0, 1.0), between(random, 0.0, 1.0)},
        product(between(random, 0.0, 1.0) < 0.5),
        share(between(random, 0.2, 0.8)) {}
  double value(int which, double t_s) const {
    const double turns = hz[which] * t_s + phase[which];
    return shape[which].at(turns - std::floor(turns));
  }
  double operator()(double t_s) const {
    const double slow = value(0, t_s);
    const double fast = value(1, t_s);
    return product ? slow * fast : share * slow + (1.0 - share) * fast;
  }
  double percent(int which) const {
    const Shape& s = shape[which];
    if (product) return percent_of(s.lowest, s.highest);
    const double mine = which == 0 ? share : 1.0 - share;
    return percent_of(mine * s.lowest + 1.0 - mine, mine * s.highest + 1.0 - mine);
  }
  double both() const {
    const auto at = [&](double slow, double fast) {
      return product ? slow * fast : share * slow + (1.0 - share) * fast;
    };
    return percent_of(at(shape[0].lowest, shape[1].lowest), at(shape[0].highest, shape[1].highest));
  }
  Ieee1789 worst() const {
    const Ieee1789 slow = ieee1789(percent(0), hz[0]);
    const Ieee1789 fast = ieee1789(percent(1), hz[1]);
    return worse(slow, fast) ? slow : fast;
  }
};

}  // namespace

TEST_CASE("each of two rhythms is judged by its own percent flicker") {
  constexpr double most_wrong = 0.04;
  constexpr double withheld_most = 0.3;  // fast ones with few samples a cycle
  Random random(1789);
  const int all = draws(200);
  int judged = 0;
  int wrong = 0;
  int wrong_together = 0;
  int better = 0;
  Coverage one, together;
  std::string told;
  for (int draw = 0; draw < all; ++draw) {
    const Pair pair(random);
    const double rate_hz = logarithmic(random, 20000.0, 120000.0);
    const double noise = logarithmic(random, 1e-4, 1e-2);
    const double seconds = between(random, 1.2, 2.2);
    const Measurement m = metering::measured(
        metering::recording(rate_hz, seconds, pair, noise, static_cast<unsigned>(draw + 1)));
    if (!m.ieee) continue;
    ++judged;
    const int which = std::abs(m.ieee->hz - pair.hz[0]) < 0.01 * pair.hz[0] ? 0 : 1;
    const double truth = pair.percent(which);
    const bool right_hz = std::abs(m.ieee->hz - pair.hz[which]) < 0.01 * pair.hz[which];
    const double within = 3.3 * m.ieee->percent_sd + 0.02;
    const bool off = !right_hz || std::abs(m.ieee->percent - truth) > within;
    const bool too_good = level_of(*m.ieee) < level_of(pair.worst());
    const bool off_together = std::abs(*m.percent_flicker - pair.both()) >
                              3.3 * m.percent_flicker_sd.value_or(0.0) + 0.02;
    wrong += off;
    one.take(m.ieee->percent - truth, m.ieee->percent_sd);
    together.take(*m.percent_flicker - pair.both(), m.percent_flicker_sd.value_or(0.0));
    wrong_together += off_together;
    better += too_good;
    if (off || too_good || off_together) {
      told += fmt::format(
          "\ndraw {}: {} of {} at {:.3f} and {} at {:.3f} Hz, {:.0f} a second: {} {:.3f} ± {:.3f} "
          "% "
          "at {:.2f} Hz, truth {:.3f} %; together {:.3f}, truth {:.3f}",
          draw, pair.product ? "product" : "sum", pair.shape[0].name, pair.hz[0],
          pair.shape[1].name, pair.hz[1], rate_hz, level_words(m.ieee->level), m.ieee->percent,
          m.ieee->percent_sd, m.ieee->hz, truth, *m.percent_flicker, pair.both());
    }
  }
  // Ten times wider than the errors by the middle one of 170: a lone rhythm's ± allows for the
  // worst way two can be taken apart.
  CHECK(one.stated_over_actual() < 15.0);
  CHECK(together.stated_over_actual() < 10.0);
  INFO(told);
  CHECK(judged >= (1.0 - withheld_most) * all);
  CHECK(wrong <= 1 + most_wrong * all);
  CHECK(wrong_together <= 1 + most_wrong * all);
  CHECK(better <= all / 100);
}

TEST_CASE("a fast dimmer beside a slow ripple leaves the ripple its own depth and level") {
  // 3300.7 Hz is 33 times 100.02 Hz but for 0.04 Hz: one second does not show them apart.
  const auto beside = [](double ripple, double pwm) {
    return metering::measured(metering::recording(
        20000.0, 3.0,
        [=](double t) {
          return 1.0 + ripple * std::cos(signals::two_pi * 100.02 * t) +
                 pwm * std::cos(signals::two_pi * 3300.7 * t + 1.0);
        },
        0.002, 7));
  };
  const Measurement deep = beside(0.2, 0.45);
  REQUIRE(deep.ieee);
  CHECK(deep.ieee->hz == Approx(100.02).margin(0.05));
  CHECK(deep.ieee->percent == Approx(20.0).margin(3.3 * deep.ieee->percent_sd + 0.02));
  CHECK(deep.ieee->level == Ieee1789Level::above_low_risk);
  // Worked by hand: at 100.02 Hz the limits are 8.00 and 3.33 % (0.08 f and f/30), from memory.
  const Measurement shallow = beside(0.03, 0.45);
  REQUIRE(shallow.ieee);
  CHECK(shallow.ieee->level == Ieee1789Level::no_observable_effect);
  const Measurement middling = beside(0.05, 0.45);
  REQUIRE(middling.ieee);
  CHECK(middling.ieee->level == Ieee1789Level::low_risk);
  CHECK(middling.ieee->percent == Approx(5.0).margin(3.3 * middling.ieee->percent_sd + 0.02));
}

TEST_CASE("the IEEE 1789 level is the one that the uncertainty proves") {
  CHECK(ieee1789(3.3, 0.005, 100.0, 0.0).level == Ieee1789Level::no_observable_effect);
  CHECK(ieee1789(3.3, 0.05, 100.0, 0.0).level == Ieee1789Level::low_risk);
  CHECK(ieee1789(7.9, 0.05, 100.0, 0.0).level == Ieee1789Level::above_low_risk);
  CHECK(ieee1789(2.0, 0.0, 90.01, 0.01).level == Ieee1789Level::low_risk);
  CHECK(ieee1789(2.0, 0.0, 90.1, 0.01).level == Ieee1789Level::no_observable_effect);
  CHECK_FALSE(ieee1789_level_note(ieee1789(3.3, 0.005, 100.0, 0.0)));
  const auto note = ieee1789_level_note(ieee1789(3.3, 0.05, 100.0, 0.0));
  REQUIRE(note);
  CHECK(note->code == "ieee1789_boundary");
}

TEST_CASE("a chopped ripple beside steady light reaches as far as both, and no farther") {
  Random random(77);
  double percent_off = 0.0;
  double index_off = 0.0;
  const int all = draws(60);
  for (int draw = 0; draw < all; ++draw) {
    const double steady = between(random, 0.05, 0.4);
    const double duty = between(random, 0.25, 0.65);
    const double depth = between(random, 0.1, 0.3);
    const double pwm_hz = between(random, 310.0, 700.0);
    const auto light = [&](double ripple, double p) {
      const double on = 1.0 + depth * std::sin(signals::two_pi * ripple);
      return steady + (p - std::floor(p) < duty ? on : 0.0);
    };
    const auto s = metering::recording(
        20000.0, 2.0, [&](double t) { return light(100.1 * t, pwm_hz * t); }, 0.002,
        static_cast<unsigned>(random()));
    const Measurement m = metering::measured(s);
    CAPTURE(steady, duty, depth, pwm_hz);
    REQUIRE(m.percent_flicker);
    REQUIRE(m.flicker_index);
    // Above the mean by the on part alone, whose ripple averages out.
    const double mean = steady + duty;
    percent_off += std::abs(*m.percent_flicker - percent_of(steady, steady + 1.0 + depth)) / all;
    index_off += std::abs(*m.flicker_index - duty * (1.0 - duty) / mean) / all;
  }
  CHECK(percent_off < 0.3);
  CHECK(index_off < 5e-4);
}
