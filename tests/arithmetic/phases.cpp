#include <numbers>
#include <random>

#include "arithmetic/alias.hpp"
#include "arithmetic/phase.hpp"
#include "support/catch.hpp"

using namespace lampbeat;

TEST_CASE("samples cannot tell a frequency from its alias, and the alias is the slowest such") {
  std::mt19937 random(5);
  std::uniform_real_distribution<double> any_hz(-3000.0, 3000.0);
  std::uniform_real_distribution<double> any_rate(10.0, 500.0);
  for (int draw = 0; draw < 200; ++draw) {
    const double hz = any_hz(random);
    const double rate_hz = any_rate(random);
    CAPTURE(hz, rate_hz);
    const double alias = arithmetic::alias_hz(hz, rate_hz);
    CHECK(std::abs(alias) <= rate_hz / 2.0 + 1e-9);
    CHECK(arithmetic::folded_hz(hz, rate_hz) == std::abs(alias));
    for (int i = 0; i < 5; ++i) {
      const double t = i / rate_hz;
      const auto value = [&](double f) { return std::cos(2.0 * std::numbers::pi * f * t + 0.3); };
      CHECK(value(alias) == Approx(value(hz)).margin(1e-8));
    }
  }
  CHECK(arithmetic::alias_hz(66000.0, 24.0) == 0.0);
  CHECK(arithmetic::alias_hz(120.0, 50.0) == Approx(20.0));
  CHECK(arithmetic::alias_hz(90.0, 50.0) == Approx(-10.0));
}

TEST_CASE("a frequency in step with a rate of 24000/1001 has no alias at all") {
  const arithmetic::RationalRate film{24000.0, 1001.0};
  for (int n = 1; n < 5000; ++n) {
    CAPTURE(n);
    CHECK(std::abs(arithmetic::alias_hz(n * 24000.0 / 1001.0, film)) < 1e-12 * n * 24.0);
  }
  CHECK(arithmetic::alias_hz(24.0, film) == Approx(24.0 - 24000.0 / 1001.0));
}

TEST_CASE("phases come back to one turn") {
  for (const double turns : {-2.75, -0.5, -0.2, 0.0, 0.3, 0.49, 1.25, 17.8}) {
    CAPTURE(turns);
    const double wrapped = arithmetic::wrapped_turns(turns);
    const double begun = arithmetic::begun_turn(turns);
    CHECK(std::abs(wrapped) <= 0.5);
    CHECK(begun >= 0.0);
    CHECK(begun < 1.0);
    CHECK(std::remainder(turns - wrapped, 1.0) == Approx(0.0).margin(1e-12));
    CHECK(std::remainder(turns - begun, 1.0) == Approx(0.0).margin(1e-12));
    CHECK(arithmetic::off_whole(turns) == Approx(std::abs(wrapped)));
    const double rad = arithmetic::wrapped_rad(2.0 * std::numbers::pi * turns);
    CHECK(std::cos(rad) == Approx(std::cos(2.0 * std::numbers::pi * turns)).margin(1e-9));
    CHECK(std::abs(rad) <= std::numbers::pi + 1e-12);
  }
}
