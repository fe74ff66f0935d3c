#include "lampbeat/shutters.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <random>

#include "lampbeat/banding.hpp"
#include "lampbeat/error.hpp"
#include "lampbeat/typical.hpp"
#include "lampbeat/visibility.hpp"
#include "reasoning/predict_lights.hpp"
#include "support/brute_force.hpp"
#include "support/catch.hpp"
#include "support/findings.hpp"

using namespace lampbeat;
using namespace predict_lights;
using lampbeat::test::has_finding;

namespace {

PlanRequest request_for(const std::vector<const char*>& rates,
                        std::vector<std::string> available = {}, double readout_s = 0.016) {
  PlanRequest request;
  for (const char* rate : rates) request.frame_rates.push_back(parse_frame_rate(rate));
  request.available = std::move(available);
  request.readout_s = readout_s;
  return request;
}

ShutterPlan plan_for(const Light& light, const PlanRequest& request) {
  const LightShare alone{light, 1.0};
  return plan_shutters({&alone, 1}, request);
}

const Setting* labelled(const ShutterPlan& plan, const std::string& label) {
  const auto found = std::find_if(plan.settings.begin(), plan.settings.end(),
                                  [&](const Setting& s) { return s.label == label; });
  return found == plan.settings.end() ? nullptr : &*found;
}

double sampled_percent_flicker(const Light& light, double period_s) {
  double high = 0.0, low = 1e9;
  for (int i = 0; i < 20000; ++i) {
    const double value = light_at(light, period_s * i / 20000);
    high = std::max(high, value);
    low = std::min(low, value);
  }
  return 100.0 * (high - low) / (high + low);
}

}  // namespace

TEST_CASE("what the planner calls clean is clean when every row is integrated") {
  int rendered = 0;
  for (const double mains_hz : {50.0, 60.0}) {
    for (const double depth : {0.08, 0.3}) {
      Light light = rectified_sine(mains_hz, 6);
      for (LightComponent& c : light.components) c.amplitude *= depth;
      const ShutterPlan plan = plan_for(light, request_for({"24", "25", "29.97"}));
      int of_this_plan = 0;
      for (const Setting& s : plan.settings) {
        if (s.worst.verdict != Verdict::clean || ++of_this_plan % 5 != 1) continue;
        for (const double drift : {-1.0, 0.0, 1.0}) {
          const double hz = mains_hz + drift * plan.mains_tolerance_hz;
          const Light now = retuned(light, hz);
          const Shot shot{s.fps, s.exposure_s, 0.016, 90};
          const double contrast = brute_force::worst_banding(as_function(now), as_camera(shot),
                                                             brute_force::starts_over(0.5 / hz, 24),
                                                             pieces_for(now, s.exposure_s));
          const double visibility =
              band_visibility(contrast, 2.0 * hz * 0.016, alias_hz(2.0 * hz, s.fps), Viewing{})
                  .most_sensitive;
          INFO(s.label << " at " << s.fps.per_s() << " fps on " << hz << " Hz: " << contrast);
          CHECK(visibility < 1.01 * clean_below);
          ++rendered;
        }
      }
    }
  }
  CHECK(rendered > 40);
}

TEST_CASE("what the planner calls strong bands plainly when every row is integrated") {
  const Light light = rectified_sine(50.0, 6);
  const ShutterPlan plan = plan_for(light, request_for({"25"}, {"1/60", "1/250", "1/500"}));
  REQUIRE(plan.settings.size() == 3);
  for (const Setting& s : plan.settings) {
    const Shot shot{s.fps, s.exposure_s, 0.016, 90};
    const double contrast = brute_force::worst_banding(as_function(light), as_camera(shot),
                                                       brute_force::starts_over(0.01, 48),
                                                       pieces_for(light, s.exposure_s));
    CHECK(s.nominal.verdict == Verdict::strong);
    CHECK(band_visibility(contrast, 1.6, 0.0, Viewing{}).most_sensitive > 0.95 * strong_from);
    CHECK(s.nominal.band_percent == Approx(100.0 * contrast).epsilon(0.03));
  }
}

TEST_CASE("settings come by verdict first, and clean ones by nearness to 180 degrees") {
  const ShutterPlan plan =
      plan_for(typical_light("tube-magnetic", 50), request_for({"24", "25", "60"}));
  std::size_t rate = 0;
  for (std::size_t i = 1; i < plan.settings.size(); ++i) {
    const Setting& a = plan.settings[i - 1];
    const Setting& b = plan.settings[i];
    if (a.fps.numerator != b.fps.numerator) {
      ++rate;
      continue;
    }
    REQUIRE(a.worst.verdict <= b.worst.verdict);
    if (a.worst.verdict == Verdict::clean && b.worst.verdict == Verdict::clean) {
      CHECK(std::abs(a.stops_from_180deg) <= std::abs(b.stops_from_180deg) + 0.26);
    }
  }
  CHECK(rate == 2);
  CHECK(plan.settings.front().fps.numerator == 24);
  CHECK(plan.settings.front().label == "1/50");
}

TEST_CASE(
    "equal exposures are offered once, none longer than the frame, all with their true cost") {
  const ShutterPlan plan = plan_for(typical_light("led-rippled", 60),
                                    request_for({"23.976", "29.97", "120"}, {}, 0.008));
  for (const Setting& s : plan.settings) {
    CHECK(s.exposure_s <= s.fps.frame_s() * (1.0 + 1e-12));
    CHECK(s.shutter_deg == Approx(360.0 * s.exposure_s * s.fps.per_s()));
    CHECK(s.stops_from_180deg == Approx(std::log2(s.shutter_deg / 180.0)).margin(1e-12));
    CHECK(s.blur_from_180deg == Approx(s.shutter_deg / 180.0));
    CHECK(parse_exposure_s(s.label, s.fps) == Approx(s.exposure_s).epsilon(2e-4));
    const auto twins = std::count_if(plan.settings.begin(), plan.settings.end(), [&](auto& t) {
      return t.fps.numerator == s.fps.numerator &&
             std::abs(t.exposure_s / s.exposure_s - 1.0) < 1e-6;
    });
    CHECK(twins == 1);
  }
}

TEST_CASE("a setting's worst is what some mains within the tolerance bands, row by row") {
  std::mt19937 random(58);
  const Light light = locked_series(random, 50.0, 3);
  const ShutterPlan plan = plan_for(light, request_for({"24", "50"}));
  int held = 0;
  for (std::size_t i = 0; i < plan.settings.size(); i += 8) {
    const Setting& s = plan.settings[i];
    const Shot shot{s.fps, s.exposure_s, 0.016, 60};
    double searched = 0.0;
    for (int step = -8; step <= 8; ++step) {
      const double hz = 50.0 + plan.mains_tolerance_hz * step / 8;
      const Light now = retuned(light, hz);
      searched = std::max(searched,
                          100.0 * brute_force::worst_banding(as_function(now), as_camera(shot),
                                                             brute_force::starts_over(0.5 / hz, 32),
                                                             pieces_for(now, s.exposure_s)));
    }
    INFO(s.label << " at " << s.fps.per_s());
    CHECK(searched <= 1.005 * s.worst.band_percent + 0.002);
    CHECK(s.worst.band_percent - searched <= std::max(0.02 * s.worst.band_percent, 0.03));
    ++held;
  }
  CHECK(held >= 5);
}

TEST_CASE("every exposure of whole cycles of an odd dimmer frequency is found and clean") {
  const double hz = 383.7;
  PlanRequest request = request_for({"25"});
  request.options.clock_tolerance_percent = 0.0;  // a crystal: common dimmers stray by a per cent
  const ShutterPlan plan = plan_for(free_ripple(hz, 0.9), request);
  for (int cycles = 2; cycles <= 15; ++cycles) {
    const auto found = std::find_if(plan.settings.begin(), plan.settings.end(), [&](auto& s) {
      return std::abs(s.exposure_s * hz - cycles) < 1e-6 * cycles;
    });
    INFO(cycles << " cycles");
    REQUIRE(found != plan.settings.end());
    CHECK(found->worst.verdict == Verdict::clean);
    CHECK(found->whole_cycles);
    CHECK_FALSE(found->mains_margin_hz.has_value());
  }
}

TEST_CASE("a shutter that suits two lights at once holds whole cycles of both") {
  const std::vector<LightShare> lights = {{typical_light("tube-magnetic", 50), 0.5},
                                          {free_ripple(250.0, 0.8), 0.5}};
  PlanRequest request = request_for({"25"});
  request.options.clock_tolerance_percent = 0.2;
  const ShutterPlan plan = plan_shutters(lights, request);
  const Setting& best = plan.settings.front();
  REQUIRE(best.worst.verdict == Verdict::clean);
  for (const double hz : {100.0, 250.0}) {
    const double cycles = best.exposure_s * hz;
    CHECK(std::abs(cycles - std::round(cycles)) < 0.01);
  }
  CHECK(has_finding(plan.findings, "unknown_alignment"));
}

TEST_CASE("two rhythms a hair apart get a shutter between their whole cycles") {
  const std::vector<LightShare> lights = {{free_ripple(100.0, 0.2), 0.5},
                                          {free_ripple(101.0, 0.2), 0.5}};
  const ShutterPlan plan = plan_shutters(lights, request_for({"25"}));
  const Setting& best = plan.settings.front();
  CHECK(best.worst.verdict == Verdict::clean);
  CHECK(best.exposure_s * 100.0 == Approx(2.0).epsilon(0.011));
}

TEST_CASE("shares matter by their ratio only") {
  const std::vector<LightShare> small = {{typical_light("tube-magnetic", 50), 0.2},
                                         {typical_light("led-steady", 50), 0.6}};
  std::vector<LightShare> large = small;
  for (LightShare& l : large) l.share *= 1000.0;
  const ShutterPlan one = plan_shutters(small, request_for({"24"}, {"180deg", "1/50", "1/60"}));
  const ShutterPlan other = plan_shutters(large, request_for({"24"}, {"180deg", "1/50", "1/60"}));
  REQUIRE(one.settings.size() == other.settings.size());
  for (std::size_t i = 0; i < one.settings.size(); ++i) {
    CHECK(one.settings[i].label == other.settings[i].label);
    CHECK(one.settings[i].worst.band_percent ==
          Approx(other.settings[i].worst.band_percent).epsilon(1e-9));
  }
}

TEST_CASE("a listed shutter keeps its name, and one longer than the frame is left out there") {
  const ShutterPlan plan =
      plan_for(typical_light("tungsten", 50),
               request_for({"25", "100"}, {"1/50", "180deg", "1/200", "1/25"}, 0.01));
  CHECK(std::count_if(plan.settings.begin(), plan.settings.end(),
                      [](const Setting& s) { return s.fps.numerator == 25; }) == 3);
  CHECK(std::count_if(plan.settings.begin(), plan.settings.end(),
                      [](const Setting& s) { return s.fps.numerator == 100; }) == 1);
  CHECK(labelled(plan, "1/50") != nullptr);
  // 180° at 25 fps is 1/50 under another name; at 100 fps it is 1/200.
  CHECK(plan.settings.back().exposure_s == Approx(1.0 / 200.0));
}

TEST_CASE("a plan that cannot be made says why") {
  const Light light = typical_light("tungsten", 50);
  CHECK_THROWS_AS(plan_for(light, request_for({})), UsageError);
  CHECK_THROWS_AS(plan_for(light, request_for({"25"}, {"fast"})), UsageError);
  CHECK_THROWS_AS(plan_shutters({}, request_for({"25"})), UsageError);
  const ShutterPlan none = plan_for(light, request_for({"100"}, {"1/50"}, 0.01));
  CHECK(none.settings.empty());
  REQUIRE_FALSE(none.findings.empty());
  CHECK(none.findings.front().code == "no_shutter_fits");
}

TEST_CASE("within its mains margin a setting stays clean, a little beyond it does not") {
  const Light light = typical_light("led-rippled", 50);
  const ShutterPlan plan = plan_for(light, request_for({"24", "25", "50"}));
  int checked = 0;
  for (const Setting& s : plan.settings) {
    if (!s.mains_margin_hz) continue;
    const LightShare alone{light, 1.0};
    const auto clean = [&](double hz) {
      PredictionOptions options;
      options.mains_hz = hz;
      options.mains_tolerance_hz = 0.0;
      return predict({&alone, 1}, {s.fps, s.exposure_s, 0.016, 1080}, options).nominal.verdict ==
             Verdict::clean;
    };
    const double margin = *s.mains_margin_hz;
    INFO(s.label << " at " << s.fps.per_s() << ": " << margin);
    CHECK(clean(50.0 + 0.98 * margin));
    CHECK(clean(50.0 - 0.98 * margin));
    CHECK_FALSE((clean(50.0 + 1.12 * margin + 0.01) && clean(50.0 - 1.12 * margin - 0.01)));
    ++checked;
  }
  CHECK(checked >= 5);
}

TEST_CASE("a light of exactly the needed percent flicker serves 180 degrees, one 4 % deeper not") {
  const Light light = typical_light("tube-magnetic", 50);
  const PlanRequest request = request_for({"24", "120", "240", "480", "960"}, {"180deg"}, 0.001);
  const ShutterPlan plan = plan_for(light, request);
  const double own_percent = sampled_percent_flicker(light, 0.01);
  for (const FrameRateOutlook& outlook : plan.outlooks) {
    REQUIRE(outlook.needed_percent_flicker.has_value());
    const double needed = *outlook.needed_percent_flicker;
    INFO(outlook.fps.per_s() << " fps needs " << needed);
    CHECK(needed < own_percent);
    const auto verdict_of_percent = [&](double percent) {
      // Small ripples: percent flicker is nearly proportional to amplitude, so two steps settle it.
      Light scaled = light;
      for (int i = 0; i < 4; ++i) {
        const double now = sampled_percent_flicker(scaled, 0.01);
        for (LightComponent& c : scaled.components) c.amplitude *= percent / now;
      }
      return plan_for(scaled, request)
          .outlooks[static_cast<std::size_t>(&outlook - plan.outlooks.data())]
          .at_180deg.verdict;
    };
    CHECK(verdict_of_percent(0.995 * needed) == Verdict::clean);
    CHECK(verdict_of_percent(1.04 * needed) != Verdict::clean);
  }
}

TEST_CASE("where 180 degrees spans whole cycles any depth will do") {
  PlanRequest request = request_for({"25"}, {"1/50"});
  request.options.mains_tolerance_hz = 0.05;
  const ShutterPlan plan = plan_for(typical_light("tungsten", 50), request);
  CHECK(plan.outlooks.front().needed_percent_flicker == 100.0);
}

TEST_CASE("a steady light needs no advice on steadiness") {
  const ShutterPlan plan =
      plan_for(typical_light("daylight", 50), request_for({"25", "240"}, {}, 0.004));
  for (const Setting& s : plan.settings) CHECK(s.worst.verdict == Verdict::clean);
  for (const FrameRateOutlook& o : plan.outlooks) {
    CHECK(o.any_clean);
    CHECK_FALSE(o.needed_percent_flicker.has_value());
  }
}

TEST_CASE("without rows a rhythm in step with the frame rate leaves nothing, at any shutter") {
  PlanRequest request = request_for({"25"}, {"1/30", "1/60", "1/250", "1/1000"}, 0.0);
  request.options.mains_tolerance_hz = 0.0;
  for (const Setting& s : plan_for(typical_light("tungsten", 50), request).settings) {
    CHECK(s.worst.band_percent == 0.0);
    CHECK(s.worst.verdict == Verdict::clean);
  }
}
