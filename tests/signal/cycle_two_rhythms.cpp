#include <random>

#include "lampbeat/cycle.hpp"
#include "support/catch.hpp"
#include "support/waveforms.hpp"

using namespace lampbeat;

namespace {

constexpr double rate_hz = 20000.0;
constexpr double ripple_hz = 100.02;
constexpr double pwm_hz = 731.7;

struct Samples {
  std::vector<double> value;
  std::optional<CycleFigures> figures() const {
    return cycle_figures({value, {}, 1 / rate_hz}, {{ripple_hz, 0.0}, {pwm_hz, 0.0}});
  }
};

Samples combined(double seconds, double sigma,
                 const std::function<double(double ripple, double pwm_phase)>& light) {
  std::mt19937_64 engine(9);
  std::normal_distribution<double> noise(0.0, 1.0);
  Samples s;
  for (int i = 0; i < static_cast<int>(seconds * rate_hz); ++i) {
    const double t = i / rate_hz;
    const double p = pwm_hz * t;
    s.value.push_back(light(std::cos(2 * waveforms::pi * ripple_hz * t), p - std::floor(p)) +
                      sigma * noise(engine));
  }
  return s;
}

}  // namespace

TEST_CASE("a ripple chopped by an unrelated dimmer reads its true extremes and areas") {
  for (const double seconds : {1.0, 3.0}) {
    // (1 + 0.2 cos) while on, nothing while off.
    const auto f = combined(seconds, 0.0, [](double ripple, double p) {
                     return p < 0.4 ? 1 + 0.2 * ripple : 0.0;
                   }).figures();
    REQUIRE(f);
    // One second fills the torus thinly: sharp edges get the fine division, the ripple a coarse
    // one.
    CHECK(f->highest == Approx(1.2).margin(seconds < 2 ? 0.03 : 0.003));
    CHECK(f->percent_flicker == Approx(100).margin(0.1));
    // All of the on-time lies above the mean 0.4, all of the off-time below: 1 − duty.
    CHECK(f->flicker_index == Approx(0.6).margin(0.004));
  }
}

TEST_CASE("a dimmer that only dips a rippling light reads both rhythms' share") {
  // (1 + 0.2 cos)(1 or 0.7): from 0.8 · 0.7 to 1.2.
  const double truth = 100 * (1.2 - 0.56) / (1.2 + 0.56);
  const auto light = [](double ripple, double p) {
    return (1 + 0.2 * ripple) * (p < 0.6 ? 1 : 0.7);
  };
  const auto clean = combined(1.0, 0.0, light).figures();
  REQUIRE(clean);
  CHECK(clean->percent_flicker == Approx(truth).margin(0.35));
  const auto noisy = combined(1.0, 0.02, light).figures();
  REQUIRE(noisy);
  CHECK(noisy->percent_flicker == Approx(truth).margin(1.0));
}

TEST_CASE("an unrelated light beside it adds up to true extremes") {
  // 1 + 0.1 cos + 0.1 (square): from 0.8 to 1.2.
  const auto light = [](double ripple, double p) {
    return 1 + 0.1 * ripple + (p < 0.5 ? 0.1 : -0.1);
  };
  const auto clean = combined(1.0, 0.0, light).figures();
  REQUIRE(clean);
  CHECK(clean->percent_flicker == Approx(20).margin(0.2));
  const auto noisy = combined(1.0, 0.02, light).figures();
  REQUIRE(noisy);
  CHECK(noisy->percent_flicker == Approx(20).margin(0.6));
  CHECK(std::abs(noisy->percent_flicker - 20) < 5 * noisy->percent_flicker_sd + 0.2);
  // Over the torus of both phases the light is ±0.1 with a cosine of 0.1 on it, symmetric about 1,
  // and its sign is the square's: half the mean distance is 0.05.
  CHECK(clean->flicker_index == Approx(0.05).margin(0.001));
}

TEST_CASE("two smooth rhythms add up to true extremes") {
  std::vector<double> x(20000);
  for (std::size_t i = 0; i < x.size(); ++i) {
    const double t = static_cast<double>(i) / rate_hz;
    x[i] = 1 + 0.2 * std::cos(2 * waveforms::pi * ripple_hz * t) +
           0.1 * std::cos(2 * waveforms::pi * pwm_hz * t + 1);
  }
  const auto f = cycle_figures({x, {}, 1 / rate_hz}, {{ripple_hz, 0.0}, {pwm_hz, 1.0}});
  REQUIRE(f);
  CHECK(f->percent_flicker == Approx(30).margin(0.2));
}
