#include <algorithm>
#include <cmath>
#include <numbers>
#include <random>

#include "lampbeat/filming.hpp"
#include "lampbeat/html.hpp"
#include "lampbeat/shutters.hpp"
#include "lampbeat/visibility.hpp"
#include "reasoning/predict_lights.hpp"
#include "support/catch.hpp"
#include "support/draws.hpp"
#include "support/findings.hpp"

// The clock of a dimmer differs from unit to unit and with warmth. What is called clean is held
// against the same light with its clock moved, by plain predictions that know no tolerance.

using namespace lampbeat;
using namespace predict_lights;
using lampbeat::test::draws;
using lampbeat::test::has_finding;

namespace {

constexpr double readout_s = 0.016;
constexpr std::optional<double> nobody_knows;  // the readout: as predict assumes it

/// A pulse train: cosines of 2 sin(πkd)/(πkd) (any handbook of Fourier series).
Light chopped(double hz, double duty, int orders = 24) {
  Light light;
  light.name = "dimmer";
  for (int k = 1; k <= orders; ++k) {
    const double a = 2.0 * std::sin(std::numbers::pi * k * duty) / (std::numbers::pi * k * duty);
    light.components.push_back({hz * k, std::abs(a), a < 0.0 ? std::numbers::pi : 0.0, {}});
  }
  return light;
}

Light with_clock_off(Light light, double offset) {
  for (LightComponent& c : light.components) {
    if (!c.mains_order) c.hz *= 1.0 + offset;
  }
  return light;
}

PredictionOptions fine() {
  PredictionOptions options;
  options.viewing.recording_bits = 10;
  return options;
}

PredictionOptions exact() {
  PredictionOptions options = fine();
  options.mains_tolerance_hz = 0.0;
  options.clock_tolerance_percent = 0.0;
  return options;
}

double visibility_at(const Light& light, const Shot& shot, double offset) {
  const LightShare alone{with_clock_off(light, offset), 1.0};
  return predict({&alone, 1}, shot, exact()).nominal.visibility;
}

Recorded worst_of(const Light& light, const Shot& shot, const PredictionOptions& options = {}) {
  const LightShare alone{light, 1.0};
  return predict({&alone, 1}, shot, options).worst;
}

Light random_dimmer(std::mt19937& random) {
  const double hz = 100.0 * std::pow(100.0, between(random, 0.05, 1.0));
  Light light = between(random, 0.0, 1.0) < 0.5 ? chopped(hz, between(random, 0.05, 0.95), 12)
                                                : series(random, hz, 3);
  const double depth = std::pow(10.0, between(random, -2.5, 0.0));
  for (LightComponent& c : light.components) c.amplitude *= depth;
  return light;
}

Shot random_shot(std::mt19937& random) {
  const FrameRate fps =
      frame_rates[static_cast<std::size_t>(between(random, 0, 1) * std::size(frame_rates)) %
                  std::size(frame_rates)];
  const double part = std::pow(10.0, between(random, -1.5, 0.0));
  return {fps, part * fps.frame_s(), between(random, 0, 1) < 0.1 ? 0.0 : readout_taken_s({}, fps),
          1080};
}

}  // namespace

TEST_CASE("the worst covers every offset of a free-running clock, and is reached by one") {
  std::mt19937 random(4811);
  for (int i = 0; i < draws(400); ++i) {
    const Light light = random_dimmer(random);
    const Shot shot = random_shot(random);
    const double worst = worst_of(light, shot, fine()).visibility;
    double highest = 0.0;
    for (int k = -30; k <= 30; ++k) {
      highest = std::max(
          highest, visibility_at(light, shot, 0.01 * (k + between(random, -0.5, 0.5)) / 30.5));
    }
    INFO(light.components[0].hz << " Hz, " << shot.fps.per_s() << " fps, 1/"
                                << 1.0 / shot.exposure_s << ", found " << highest);
    constexpr double calculated = 5e-4;  // contrasts are searched for in single precision
    CHECK(worst >= 0.85 * highest - calculated);
    // Nor does it doubt everything: a light hidden at every offset stays clean.
    if (highest <= 0.4) CHECK(worst < clean_below);
  }
}

TEST_CASE("a clean verdict under the default tolerance holds a per cent off") {
  std::mt19937 random(4812);
  int clean = 0;
  for (int i = 0; i < draws(2000); ++i) {
    const Light light = random_dimmer(random);
    const Shot shot = random_shot(random);
    if (worst_of(light, shot, fine()).verdict != Verdict::clean) continue;
    ++clean;
    const double there = visibility_at(light, shot, between(random, -0.01, 0.01));
    INFO(light.components[0].hz << " Hz, " << shot.fps.per_s() << " fps, 1/"
                                << 1.0 / shot.exposure_s);
    CHECK(there < 1.05 * clean_below);
  }
  CHECK(clean > draws(2000) / 20);
}

TEST_CASE("a deep dimmer at 481 Hz is safe at no shutter its clock can slip from") {
  Light light = free_ripple(481.0, 0.95);
  PlanRequest request;
  request.options = fine();
  request.frame_rates = {{24, 1}, {25, 1}, {30, 1}};
  request.readout_s = readout_s;
  const LightShare alone{light, 1.0};
  const ShutterPlan plan = plan_shutters({&alone, 1}, request);
  for (const Setting& s : plan.settings) {
    const double off =
        std::max(visibility_at(light, {s.fps, s.exposure_s, readout_s, 1080}, 0.01),
                 visibility_at(light, {s.fps, s.exposure_s, readout_s, 1080}, -0.01));
    INFO(s.label << " at " << s.fps.per_s());
    if (off >= clean_below) CHECK(s.worst.verdict != Verdict::clean);
    if (s.worst.verdict == Verdict::clean && s.clock_margin_percent) {
      CHECK(*s.clock_margin_percent >= 0.99);
    }
    if (s.nominal.verdict == Verdict::clean && s.worst.verdict != Verdict::clean) {
      REQUIRE(s.clock_margin_percent.has_value());
      CHECK(*s.clock_margin_percent < 1.0);
    }
  }
  CHECK(wall_card_html(plan, wall_card(plan)).find("Any of these shutters is safe") ==
        std::string::npos);
}

TEST_CASE("from the shortest clean exposure of fast dimming on, no lobe shows") {
  std::mt19937 random(3579);
  for (const double hz : {3000.0, 5000.0, 7000.0, 9000.0}) {
    for (int i = 0; i < draws(20); ++i) {
      Light light = chopped(hz * between(random, 0.97, 1.03), between(random, 0.05, 0.95));
      const double depth = between(random, 0.1, 1.0);
      for (LightComponent& c : light.components) c.amplitude *= depth;
      const FilmingRating rating = rate_for_filming(light, nobody_knows, {});
      if (!rating.shortest_clean_exposure_s) continue;
      for (int k = 0; k < 40; ++k) {
        const FrameRate fps = filmed_frame_rates()[static_cast<std::size_t>(k) % 8];
        const double from_s = std::max(*rating.shortest_clean_exposure_s, 1e-5);
        if (from_s >= fps.frame_s()) continue;
        const double exposure_s = from_s * std::pow(fps.frame_s() / from_s, between(random, 0, 1));
        INFO(hz << " Hz, " << fps.per_s() << " fps, exposure " << exposure_s << " from " << from_s);
        CHECK(worst_of(light, {fps, exposure_s, readout_taken_s({}, fps), 1080}).visibility <
              clean_below);
      }
    }
  }
}

TEST_CASE("rating and predicting agree on every claim") {
  std::mt19937 random(1414);
  for (int i = 0; i < draws(200); ++i) {
    Light light =
        i % 3 == 0 ? locked_series(random, i % 2 ? 50.0 : 60.0, 4) : random_dimmer(random);
    if (i % 3 == 0) {
      const double depth = std::pow(10.0, between(random, -3.0, 0.0));
      for (LightComponent& c : light.components) c.amplitude *= depth;
    }
    const FilmingRating rating = rate_for_filming(light, nobody_knows, {});
    for (int k = 0; k < 12; ++k) {
      const FrameRate fps =
          filmed_frame_rates()[static_cast<std::size_t>(between(random, 0, 1) * 7.99)];
      const double exposure_s = fps.frame_s() * std::pow(10.0, between(random, -2.0, 0.0));
      const Verdict verdict =
          worst_of(light, {fps, exposure_s, readout_taken_s({}, fps), 1080}).verdict;
      INFO(light.components[0].hz << " Hz, " << fps.per_s() << " fps, exposure " << exposure_s);
      if (rating.shortest_clean_exposure_s && exposure_s >= *rating.shortest_clean_exposure_s) {
        CHECK(verdict == Verdict::clean);
      }
      const Verdict at_180 =
          worst_of(light, {fps, 0.5 * fps.frame_s(), readout_taken_s({}, fps), 1080}).verdict;
      if (fps.per_s() > rating.highest_clean_fps.value_or(0.0)) CHECK(at_180 != Verdict::clean);
      if (fps.per_s() == rating.highest_clean_fps) CHECK(at_180 == Verdict::clean);
      const auto& clean = rating.clean_180;
      const bool listed = std::find(clean.begin(), clean.end(), fps) != clean.end();
      CHECK(listed == (at_180 == Verdict::clean));
      if (rating.filming <= FilmingClass::ordinary_shutters && exposure_s >= ordinary_from_s) {
        CHECK(verdict == Verdict::clean);
      }
    }
  }
}

TEST_CASE("a light is never judged better than the worse of its states") {
  std::mt19937 random(303);
  for (int i = 0; i < draws(200); ++i) {
    const Light one = random_dimmer(random);
    const Light other = i % 2 ? locked_series(random, 50.0, 3) : random_dimmer(random);
    Light both = one;
    both.other_states.push_back({"from 2.7 s to 5.0 s", other.mains_hz, other.components, {}, 0.0});
    const Shot shot = random_shot(random);
    const Recorded worst = worst_of(both, shot);
    const double each = std::max(worst_of(one, shot).visibility, worst_of(other, shot).visibility);
    CHECK(worst.visibility >= 0.98 * each);
    CHECK(worst.visibility <= 1.05 * each + 1e-9);
  }
}

TEST_CASE("the state that decides is named") {
  Light light;
  light.name = "panel";
  light.other_states.push_back(
      {"from 2.7 s to 5.0 s", 50.0, mains_ripple(50.0, 0.4).components, {}, 0.0});
  const LightShare alone{light, 1.0};
  const Prediction p = predict({&alone, 1}, {{25, 1}, 1.0 / 60.0, readout_s, 1080}, {});
  CHECK(p.worst.verdict >= Verdict::visible);
  CHECK(p.worst_state == "'panel' from 2.7 s to 5.0 s");
  CHECK(p.mains_hz == 50.0);
  CHECK(rate_for_filming(light, nobody_knows, {}).filming != FilmingClass::any_shutter);
}

TEST_CASE("light that no rhythm explains forbids what it could spoil") {
  Light light;
  light.unexplained = {{20.0, 400.0, 0.10}};
  CHECK(rate_for_filming(light, nobody_knows, {}).filming != FilmingClass::any_shutter);
  CHECK(worst_of(light, {{25, 1}, 1.0 / 60.0, readout_s, 1080}).verdict != Verdict::clean);
  light.unexplained = {{20.0, 400.0, 1e-5}};
  CHECK(rate_for_filming(light, nobody_knows, {}).filming == FilmingClass::any_shutter);
}

TEST_CASE("a rhythm that nearly keeps to the mains is judged as locked to it too") {
  // A logger on a ceramic resonator (0.5 %) makes mains ripple look free-running; what it looks
  // like in a 60 Hz country has to move there with the mains.
  const Light light = free_ripple(100.4, 0.3);
  PredictionOptions options;
  options.mains_hz = 60.0;
  const Recorded there = worst_of(light, {{25, 1}, 2.0 / 100.4, readout_s, 1080}, options);
  const Recorded locked =
      worst_of(mains_ripple(60.0, 0.3), {{25, 1}, 2.0 / 100.4, readout_s, 1080});
  CHECK(there.visibility >= 0.99 * locked.visibility);
}

TEST_CASE("where rating is stricter for the sake of noise, predicting says so") {
  Light noisy;
  noisy.noise_percent = 1.4;
  const LightShare alone{noisy, 1.0};
  const Prediction p = predict({&alone, 1}, {{25, 1}, 1.0 / 500.0, readout_s, 1080}, {});
  CHECK(p.worst.verdict == Verdict::clean);
  CHECK(has_finding(p.findings, "below_measured_noise"));
}
