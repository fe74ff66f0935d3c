#include <algorithm>
#include <cmath>
#include <random>
#include <vector>

#include "lampbeat/camera.hpp"
#include "lampbeat/shutters.hpp"
#include "reasoning/predict_lights.hpp"
#include "support/catch.hpp"
#include "support/draws.hpp"
#include "support/findings.hpp"

// One setting, one judgement: what a plan says of a setting is what a prediction of it alone says,
// whatever else is in the list.

using namespace lampbeat;
using namespace predict_lights;
using lampbeat::test::draws;
using lampbeat::test::finding;

namespace {

Light random_light(std::mt19937& random) {
  const double kind = between(random, 0.0, 1.0);
  // Captures find the mains a little beside its nominal frequency.
  const double mains_hz = (between(random, 0, 1) < 0.5 ? 50.0 : 60.0) *
                          (kind < 0.3 ? 1.0 : 1.0 + between(random, -1e-3, 1e-3));
  Light light = kind < 0.6 ? locked_series(random, mains_hz, 4)
                           : series(random, std::pow(10.0, between(random, 1.5, 3.7)), 3);
  const double depth = std::pow(10.0, between(random, -2.0, 0.0));
  for (LightComponent& c : light.components) c.amplitude *= depth;
  if (between(random, 0, 1) < 0.15) {
    light.other_states.push_back(
        {"later", mains_hz, locked_series(random, mains_hz, 2).components, {}, 0.0});
  }
  return light;
}

std::vector<LightShare> random_room(std::mt19937& random) {
  std::vector<LightShare> lights = {{random_light(random), 1.0}};
  if (between(random, 0, 1) < 0.3) lights.push_back({random_light(random), 0.4});
  return lights;
}

FrameRate random_rate(std::mt19937& random) {
  return frame_rates[static_cast<std::size_t>(between(random, 0, 0.999) * std::size(frame_rates))];
}

PlanRequest random_request(std::mt19937& random) {
  PlanRequest request;
  request.frame_rates = {random_rate(random)};
  request.available = {"180deg", "1/500", "72deg", "1/1000"};
  if (between(random, 0, 1) < 0.4) request.readout_s = between(random, 0.0, 1.0 / 240.0);
  if (between(random, 0, 1) < 0.3) request.options.mains_hz = between(random, 0, 1) < 0.5 ? 50 : 60;
  if (between(random, 0, 1) < 0.3) request.options.mains_tolerance_hz = between(random, 0, 1);
  if (between(random, 0, 1) < 0.5) request.options.clock_tolerance_percent = between(random, 0, 3);
  return request;
}

void check_same(const Recorded& a, const Recorded& b) {
  CHECK(a.visibility == b.visibility);
  CHECK(a.verdict == b.verdict);
  CHECK(a.band_percent == b.band_percent);
  CHECK(a.pulse_percent == b.pulse_percent);
}

}  // namespace

TEST_CASE("a setting of a plan is what predict says of it alone, whatever rates are in the list") {
  std::mt19937 random(2407);
  for (int i = 0; i < draws(150); ++i) {
    const std::vector<LightShare> lights = random_room(random);
    PlanRequest request = random_request(random);
    const ShutterPlan alone = plan_shutters(lights, request);
    for (int extra = 0; extra < 3; ++extra) request.frame_rates.push_back(random_rate(random));
    std::shuffle(request.frame_rates.begin(), request.frame_rates.end(), random);
    const ShutterPlan plan = plan_shutters(lights, request);
    for (const Setting& s : plan.settings) {
      INFO(s.label << " at " << s.fps.per_s() << " fps, case " << i);
      const Shot shot{s.fps, s.exposure_s, readout_taken_s(request.readout_s, s.fps), request.rows};
      CHECK(s.readout_s == shot.readout_s);
      const Prediction p = predict(lights, shot, request.options);
      check_same(s.worst, p.worst);
      check_same(s.nominal, p.nominal);
      for (const Setting& lone : alone.settings) {
        if (lone.fps.numerator != s.fps.numerator || lone.fps.denominator != s.fps.denominator ||
            lone.exposure_s != s.exposure_s) {
          continue;
        }
        check_same(s.worst, lone.worst);
        CHECK(s.clock_margin_percent == lone.clock_margin_percent);
        CHECK(s.mains_margin_hz == lone.mains_margin_hz);
      }
    }
  }
}

TEST_CASE("an unknown readout is assumed for each frame rate by itself, and said so") {
  PlanRequest request;
  request.frame_rates = {{24, 1}, {240, 1}};
  request.available = {"180deg"};
  const LightShare alone{mains_ripple(50.0, 0.2), 1.0};
  const ShutterPlan plan = plan_shutters({&alone, 1}, request);
  REQUIRE(plan.outlooks.size() == 2);
  CHECK(plan.outlooks[0].readout_s == assumed_readout_s);
  CHECK(plan.outlooks[1].readout_s == Approx(1.0 / 240.0));
  const Finding* said = finding(plan.findings, "readout_assumed");
  REQUIRE(said);
  CHECK(said->message.find("16 ms (4.17 ms at 240 fps") != std::string::npos);
}

TEST_CASE("a plan covers the tolerance about the mains that is meant, and the mains as it ran") {
  // A capture at 60.1 Hz does not move the band a supply is kept within: 60 ± 0.144 Hz.
  const LightShare alone{mains_ripple(60.1, 0.5), 1.0};
  PlanRequest request;
  request.frame_rates = {{24, 1}};
  request.available = {"1/60"};
  request.readout_s = 0.016;
  const ShutterPlan plan = plan_shutters({&alone, 1}, request);
  for (const double hz : {59.856, 60.1, 60.144}) {
    PredictionOptions there;
    there.mains_hz = hz;
    there.mains_tolerance_hz = 0.0;
    const Prediction p = predict({&alone, 1}, {{24, 1}, 1.0 / 60.0, 0.016, 1080}, there);
    CHECK(plan.settings.front().worst.visibility >= 0.99 * p.nominal.visibility);
  }
  CHECK(plan.settings.front().whole_cycles);
}
