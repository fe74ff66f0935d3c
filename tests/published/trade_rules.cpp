#include <cmath>
#include <optional>
#include <string>
#include <vector>

#include "lampbeat/exposure.hpp"
#include "lampbeat/shutters.hpp"
#include "lampbeat/typical.hpp"
#include "support/catch.hpp"

// Rules of the trade, by computation. All of them: common practice, no source.

using namespace lampbeat;

namespace {

ShutterPlan plan_at(double mains_hz, const char* fps, std::vector<std::string> available,
                    std::optional<double> tolerance_hz = {}) {
  const LightShare lamp{typical_light("tube-magnetic", mains_hz), 1.0};
  PlanRequest request;
  request.frame_rates = {parse_frame_rate(fps)};
  request.available = std::move(available);
  request.readout_s = 0.016;
  request.options.mains_tolerance_hz = tolerance_hz;
  return plan_shutters({&lamp, 1}, request);
}

Verdict verdict_of(double mains_hz, const char* fps, const char* shutter) {
  const ShutterPlan plan = plan_at(mains_hz, fps, {shutter});
  REQUIRE(plan.settings.size() == 1);
  return plan.settings.front().worst.verdict;
}

}  // namespace

TEST_CASE(
    "safe exposure times are 1/100, 1/50, 3/100, 1/25 on 50 Hz and 1/120, 1/60, 1/40, 1/30 "
    "on 60 Hz") {
  for (const char* shutter : {"1/100", "1/50", "3/100", "1/25"}) {
    INFO(shutter);
    CHECK(verdict_of(50, "25", shutter) == Verdict::clean);
  }
  for (const char* shutter : {"1/120", "1/60", "1/40", "1/30"}) {
    INFO(shutter);
    CHECK(verdict_of(60, "30", shutter) == Verdict::clean);
    CHECK(verdict_of(60, "24", shutter) == Verdict::clean);
  }
}

TEST_CASE("safe shutter angles at 24, 25 and 30 frames a second are the handed-down ones") {
  struct Rule {
    double mains_hz;
    const char* fps;
    std::vector<std::string> angles;
  };
  const std::vector<Rule> rules = {{50, "24", {"86.4deg", "172.8deg", "259.2deg", "345.6deg"}},
                                   {50, "25", {"90deg", "180deg", "270deg", "360deg"}},
                                   {50, "30", {"108deg", "216deg", "324deg"}},
                                   {60, "24", {"72deg", "144deg", "216deg", "288deg", "360deg"}},
                                   {60, "25", {"75deg", "150deg", "225deg", "300deg"}},
                                   {60, "30", {"90deg", "180deg", "270deg", "360deg"}}};
  for (const Rule& rule : rules) {
    for (const Setting& s : plan_at(rule.mains_hz, rule.fps, rule.angles, 0.2).settings) {
      INFO(rule.mains_hz << " Hz, " << rule.fps << " fps, " << s.label);
      CHECK(s.worst.verdict == Verdict::clean);
      CHECK(s.whole_cycles);
    }
    // At the very edge of what EN 50160 allows a 50 Hz supply (±0.5 Hz), 30 frames a second make
    // what is left roll at 10 Hz, where the eye is keenest: one model in three sees it.
    for (const Setting& s : plan_at(rule.mains_hz, rule.fps, rule.angles).settings) {
      INFO(rule.mains_hz << " Hz, " << rule.fps << " fps, " << s.label);
      const bool keen = rule.mains_hz == 50 && std::string(rule.fps) == "30";
      CHECK(s.worst.verdict <= (keen ? Verdict::borderline : Verdict::clean));
    }
  }
}

TEST_CASE("1/125 is not 1/120: it leaves about 4 % of a 120 Hz ripple") {
  CHECK(std::abs(exposure_gain(120.0, 1.0 / 125.0)) == Approx(0.041557).epsilon(1e-4));
  CHECK(exposure_gain(120.0, 1.0 / 120.0) == Approx(0.0).margin(1e-12));
  CHECK(verdict_of(60, "60", "1/120") == Verdict::clean);
  CHECK(verdict_of(60, "60", "1/125") != Verdict::clean);
}

TEST_CASE("1/50 under 60 Hz and 1/60 under 50 Hz band") {
  CHECK(verdict_of(60, "25", "1/50") >= Verdict::visible);
  CHECK(verdict_of(50, "25", "1/60") >= Verdict::visible);
}

TEST_CASE("30 frames a second under 60 Hz mains stand still, yet band plainly at 1/250") {
  const ShutterPlan plan = plan_at(60, "30", {"1/250"});
  CHECK(plan.settings.front().nominal.roll_hz == Approx(0.0).margin(1e-9));
  CHECK(plan.settings.front().nominal.verdict == Verdict::strong);
}

TEST_CASE("at 240 frames a second no shutter holds a ripple cycle; only steadier light helps") {
  const LightShare lamp{typical_light("tube-magnetic", 60), 1.0};
  const LightShare steady{typical_light("led-steady", 60), 1.0};
  PlanRequest request;
  request.frame_rates = {{240, 1}};
  request.readout_s = 0.004;
  const ShutterPlan bad = plan_shutters({&lamp, 1}, request);
  CHECK_FALSE(bad.outlooks.front().any_clean);
  REQUIRE(bad.outlooks.front().needed_percent_flicker.has_value());
  CHECK(*bad.outlooks.front().needed_percent_flicker < 2.0);
  CHECK(plan_shutters({&steady, 1}, request).outlooks.front().any_clean);
}

TEST_CASE("the nominal angle at a 1000/1001 rate leaves a thousandth: nobody sees it") {
  for (const auto& [fps, angle] : {std::pair{"23.976", "144deg"}, std::pair{"29.97", "180deg"},
                                   std::pair{"59.94", "180deg"}}) {
    const ShutterPlan plan = plan_at(60, fps, {angle});
    INFO(fps << " at " << angle);
    CHECK(plan.settings.front().worst.verdict == Verdict::clean);
    CHECK(std::abs(exposure_gain(120.0, plan.settings.front().exposure_s)) ==
          Approx(0.000999).epsilon(0.01));
  }
}

TEST_CASE("a key light that is steady dilutes a flickering ceiling by its share") {
  const auto bands_at = [](double share) {
    const std::vector<LightShare> lights = {{typical_light("tube-magnetic", 50), share},
                                            {typical_light("daylight", 50), 1.0 - share}};
    return predict(lights, Shot{{25, 1}, 1.0 / 1000.0, 0.016, 1080}, {}).nominal.band_percent;
  };
  CHECK(bands_at(0.25) == Approx(0.25 * bands_at(0.999999)).epsilon(0.1));
  CHECK(bands_at(0.05) < bands_at(0.25));
}
