#include <cmath>
#include <optional>
#include <random>
#include <vector>

#include "signal/pulses/pulse_train.hpp"
#include "signal/pulses/two_levels.hpp"
#include "support/catch.hpp"
#include "support/draws.hpp"
#include "support/signals.hpp"

using namespace lampbeat;
using namespace lampbeat::signal;
using lampbeat::test::between;
using lampbeat::test::draws;
using lampbeat::test::logarithmic;

namespace {

constexpr double rate_hz = 20000.0;

signals::Samples sampled(double seconds, const std::function<double(double)>& light,
                         double noise_sd, unsigned seed) {
  signals::Samples s = signals::even_times(rate_hz, seconds);
  signals::fill(s, light);
  if (noise_sd > 0.0) signals::add_noise(s, noise_sd, seed);
  return s;
}

/// The capture in windows of a tenth of a second.
pulses::PulseTrain train_of(const signals::Samples& s) {
  constexpr std::size_t each = 2000;
  pulses::PulseTrain train;
  for (std::size_t from = 0; from + each <= s.value.size(); from += each) {
    const Window window{std::span<const double>(s.value).subspan(from, each), {}, s.interval_s};
    train.add(window, static_cast<double>(from) * s.interval_s, pulses::two_levels(window));
  }
  return train;
}

}  // namespace

TEST_CASE("two levels are told with their ±, and what is none is not taken for them") {
  std::mt19937 random(5);
  double squares = 0.0;
  const int all = draws(300);
  for (int draw = 0; draw < all; ++draw) {
    const double low = between(random, 0.0, 0.8);
    const auto pwm = signals::pulses(logarithmic(random, 60, 1600), between(random, 0.1, 0.9));
    const auto light = [&](double t) { return low + (1.0 - low) * pwm(t); };
    const double noise = logarithmic(random, 1e-3, 0.01);
    const auto s = sampled(0.5, light, noise, static_cast<unsigned>(random()));
    const auto levels = pulses::two_levels(s.window());
    REQUIRE(levels);
    CHECK(levels->flat);
    squares += std::pow((levels->high.value - 1.0) / levels->high.sd, 2);
    squares += std::pow((levels->low.value - low) / levels->low.sd, 2);

    // A ripple as deep as the noise is on none of them.
    const auto rippled = [&](double t) {
      return light(t) * (1.0 + 3.0 * noise * std::sin(signals::two_pi * 100.0 * t));
    };
    const auto r = sampled(0.5, rippled, noise, static_cast<unsigned>(random()));
    const auto seen = pulses::two_levels(r.window());
    CHECK((!seen || !seen->flat));
  }
  CHECK(squares / (2.0 * all) == Approx(1.0).margin(6.0 / std::sqrt(2.0 * all)));

  const auto sine = [](double t) { return 1.0 + 0.5 * std::sin(signals::two_pi * 120.0 * t); };
  auto s = sampled(1.0, sine, 1e-3, 1);
  CHECK_FALSE(pulses::two_levels(s.window()));
  for (double& x : s.value) x = std::round(x);  // two codes
  const auto codes = pulses::two_levels(s.window());
  CHECK((!codes || !codes->flat));
}

TEST_CASE("the pulses of a clock that strays are counted, those of a steady one are not") {
  std::mt19937 random(9);
  for (int draw = 0; draw < draws(200); ++draw) {
    const double hz = logarithmic(random, 60, 1500);
    const double duty = between(random, 0.15, 0.8);
    const double seconds = between(random, 1.0, 4.0);
    CAPTURE(hz, duty, seconds);
    const auto steady = sampled(seconds, signals::pulses(hz, duty, between(random, 0, 1)), 1e-3,
                                static_cast<unsigned>(random()));
    CHECK_FALSE(train_of(steady).straying(true));

    // Its period grows and shrinks by a few percent, several times.
    const double spread = between(random, 0.01, 0.04);
    const double pace_hz = between(random, 1.0, 3.0);
    const auto turns = [&](double t) {
      return hz *
             (t + spread / (signals::two_pi * pace_hz) * std::sin(signals::two_pi * pace_hz * t));
    };
    const auto strays = [&](double t) {
      return turns(t) - std::floor(turns(t)) < duty ? 1.0 : 0.1;
    };
    const auto s = sampled(seconds, strays, 1e-3, static_cast<unsigned>(random()));
    const auto clock = train_of(s).straying(true);
    const double end_s = std::floor(seconds * 10.0) / 10.0;
    REQUIRE(clock);
    CHECK(std::abs(clock->hz - turns(end_s) / end_s) < 4.0 * clock->hz_sd);
    CHECK(clock->hz_sd < 2.0 / seconds);
    CHECK(clock->spread > 0.4 * spread);

    // A single pulse that is left out ends the count.
    const double from_s = std::floor(hz * seconds / 2.0) / hz;
    const auto one_short = [&](double t) {
      return t > from_s && t < from_s + 2.0 / hz ? 0.1 : strays(t);
    };
    const auto torn = sampled(seconds, one_short, 1e-3, static_cast<unsigned>(random()));
    CHECK_FALSE(train_of(torn).straying(true));
  }
}
