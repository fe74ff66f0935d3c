#include <algorithm>
#include <random>
#include <string>
#include <vector>

#include "lampbeat/camera.hpp"
#include "lampbeat/error.hpp"
#include "lampbeat/shutters.hpp"
#include "lampbeat/typical.hpp"
#include "reasoning/predict_lights.hpp"
#include "support/catch.hpp"
#include "support/draws.hpp"
#include "support/findings.hpp"

// What a finely set shutter is written as, and what of it is judged.

using namespace lampbeat;
using namespace predict_lights;
using lampbeat::test::draws;
using lampbeat::test::has_finding;

namespace {

ShutterPlan plan_of(const Light& light, FrameRate fps, std::vector<std::string> available) {
  PlanRequest request;
  request.frame_rates = {fps};
  request.available = std::move(available);
  const LightShare alone{light, 1.0};
  return plan_shutters({&alone, 1}, request);
}

std::vector<double> exposures_of(const ShutterPlan& plan) {
  std::vector<double> exposures;
  for (const Setting& s : plan.settings) exposures.push_back(s.exposure_s);
  std::sort(exposures.begin(), exposures.end());
  return exposures;
}

}  // namespace

TEST_CASE("a label of a range is read as the exposure it names") {
  std::mt19937 random(131);
  for (int i = 0; i < draws(300); ++i) {
    const FrameRate fps = frame_rates[static_cast<std::size_t>(
        between(random, 0, 0.999) * static_cast<double>(std::size(frame_rates)))];
    for (const char* range :
         {"1/24..1/2000:0.1", "11.2deg..360deg:0.1", "0.5ms..40ms:0.01", "500us..40000us:10",
          "0.0005s..0.04s:0.0001", "any", "1/2000..1/24:0.7", "2\u00b0..360\u00b0:3.5\u00b0"}) {
      const ShutterPlan plan = plan_of(typical_light("daylight", 50), fps, {range});
      REQUIRE_FALSE(plan.settings.empty());
      for (const Setting& s : plan.settings) {
        INFO(range << ": " << s.label << " at " << s.fps.per_s());
        CHECK(parse_exposure_s(s.label, fps) == Approx(s.exposure_s).epsilon(1e-14));
        CHECK(s.exposure_s <= fps.frame_s());
      }
    }
    if (i > 3) break;  // the ranges are what varies
  }
}

TEST_CASE("a range holds the steps from its first end up to its second, and no others") {
  const Light light = mains_ripple(50.0, 0.3);
  const ShutterPlan plan = plan_of(light, {25, 1}, {"1/30..1/110.5:4"});
  const std::vector<double> exposures = exposures_of(plan);
  for (const double exposure_s : exposures) {
    const double steps = (1.0 / exposure_s - 30.0) / 4.0;
    INFO(1.0 / exposure_s);
    CHECK(std::abs(steps - std::round(steps)) < 1e-9);
  }
  CHECK(exposures.back() == Approx(1.0 / 30.0));
  CHECK(exposures.front() == Approx(1.0 / 110.0));  // 110.5 is no step
  // Beside whole cycles of 100 Hz: 1/50 itself, and 1/98 and 1/102 around 1/100.
  for (const double inverse : {50.0, 98.0, 102.0}) {
    CHECK(std::any_of(exposures.begin(), exposures.end(), [&](double exposure_s) {
      return std::abs(exposure_s * inverse - 1.0) < 1e-9;
    }));
  }
}

TEST_CASE("both ends may come first, and steps are counted from the one that does") {
  const Light light = mains_ripple(50.0, 0.3);
  CHECK(exposures_of(plan_of(light, {25, 1}, {"30ms..1ms:7"})).front() == Approx(0.002));
  CHECK(exposures_of(plan_of(light, {25, 1}, {"1ms..30ms:7"})).back() == Approx(0.029));
}

TEST_CASE("points longer than the frame are left out, and stops keep their names beside ranges") {
  const ShutterPlan plan =
      plan_of(mains_ripple(50.0, 0.3), {50, 1}, {"1/24..1/200:0.5", "1/50", "1/125", "90deg"});
  CHECK(exposures_of(plan).back() == Approx(0.02));
  for (const char* label : {"1/50", "1/125"}) {
    CHECK(std::count_if(plan.settings.begin(), plan.settings.end(),
                        [&](const Setting& s) { return s.label == label; }) == 1);
  }
  const ShutterPlan none = plan_of(mains_ripple(50.0, 0.3), {100, 1}, {"12ms..40ms:0.1"});
  CHECK(none.settings.empty());
  CHECK(has_finding(none.findings, "no_shutter_fits"));
}

TEST_CASE("any is every exposure from four stops below 180 degrees to the whole frame") {
  for (const FrameRate fps : {FrameRate{25, 1}, FrameRate{24000, 1001}, FrameRate{1000, 1}}) {
    const std::vector<double> exposures =
        exposures_of(plan_of(typical_light("tungsten", 50), fps, {"any"}));
    CHECK(exposures.back() == Approx(fps.frame_s()).epsilon(5e-4));
    CHECK(exposures.front() == Approx(11.25 / 360.0 * fps.frame_s()).epsilon(1e-4));
  }
}

TEST_CASE("a range that cannot be read says what is wrong with it") {
  const auto refusal = [](const char* range) -> std::string {
    try {
      plan_of(mains_ripple(50.0, 0.3), {25, 1}, {range});
    } catch (const UsageError& error) {
      return error.what();
    }
    return "";
  };
  CHECK(refusal("1/24..360deg:0.1").find("written alike") != std::string::npos);
  CHECK(refusal("1ms..500us:1").find("written alike") != std::string::npos);
  CHECK(refusal("1/24..1/50:0").find("above 0") != std::string::npos);
  CHECK(refusal("1/24..1/50:-1").find("above 0") != std::string::npos);
  CHECK(refusal("1/0..1/50:1").find("above 0") != std::string::npos);
  CHECK(refusal("24..50:1").find("each end is a shutter") != std::string::npos);
  CHECK(refusal("1/24..1/5x:1").find("'5x' is no number") != std::string::npos);
  CHECK(refusal("1/24..1/50:1e-3").find("is no number") != std::string::npos);
  CHECK(refusal("1/24..1/50:0.00000001").find("so many digits") != std::string::npos);
  CHECK(refusal("..").find("each end is a shutter") != std::string::npos);
  CHECK(refusal("anything").find("a shutter is written like") != std::string::npos);
  CHECK_FALSE(refusal(("1/24..1/" + std::string(5000, '9')).c_str()).size() > 400);
}

TEST_CASE("a shutter is spoken of as it was written") {
  CHECK(shutter_notation("1/50") == ShutterNotation::fraction);
  CHECK(shutter_notation("1/59.94 s") == ShutterNotation::fraction);
  CHECK(shutter_notation("172.8deg") == ShutterNotation::angle);
  CHECK(shutter_notation("16.7ms") == ShutterNotation::time);
  CHECK(shutter_notation("0.02s") == ShutterNotation::time);
  CHECK_FALSE(shutter_notation("fast"));
  CHECK_FALSE(shutter_notation("xdeg"));
  const FrameRate fps{25, 1};
  CHECK(shutter_label(1.0 / 59.94, fps, ShutterNotation::fraction) == "1/59.94");
  CHECK(shutter_label(0.0192, fps, ShutterNotation::angle) == "172.8\u00b0");
  CHECK(shutter_label(1.0 / 60.0, fps, ShutterNotation::time) == "16.67 ms");
  CHECK(shutter_label(0.00025, fps, ShutterNotation::time) == "250 \u00b5s");
}

TEST_CASE("a label rounded one way is not beyond its exposure the other way") {
  std::mt19937 random(137);
  for (int i = 0; i < draws(3000); ++i) {
    const double exposure_s = logarithmic(random, 2e-4, 0.04);
    const FrameRate fps{25, 1};
    for (const ShutterNotation notation :
         {ShutterNotation::fraction, ShutterNotation::angle, ShutterNotation::time}) {
      const auto read = [&](LabelRounding rounding) {
        return parse_exposure_s(shutter_label(exposure_s, fps, notation, rounding), {1, 1}) *
               (notation == ShutterNotation::angle ? 1.0 / 25.0 : 1.0);
      };
      const double least = read(LabelRounding::shorter);
      const double most = read(LabelRounding::longer);
      CHECK(least <= exposure_s * (1.0 + 1e-7));
      CHECK(most >= exposure_s * (1.0 - 1e-7));
      const double nearest = read(LabelRounding::nearest);
      CHECK((nearest == Approx(least) || nearest == Approx(most)));
    }
  }
}
