#include <algorithm>
#include <cmath>
#include <random>
#include <tuple>
#include <vector>

#include "lampbeat/camera.hpp"
#include "lampbeat/shutters.hpp"
#include "lampbeat/typical.hpp"
#include "lampbeat/visibility.hpp"
#include "reasoning/predict_lights.hpp"
#include "support/catch.hpp"
#include "support/draws.hpp"

// The best value of a finely set shutter, against every point judged by itself; and how far it may
// be off.

using namespace lampbeat;
using namespace predict_lights;
using lampbeat::test::draws;
using lampbeat::test::often;

namespace {

constexpr RandomLights any_light = {0.6, 60.0, 8000.0, 0.03};

std::vector<LightShare> random_room(std::mt19937& random) {
  std::vector<LightShare> lights = {{random_light(random, any_light), 1.0}};
  if (often(random, 0.3))
    lights.push_back({random_light(random, any_light), between(random, 0.1, 1.0)});
  return lights;
}

FrameRate random_rate(std::mt19937& random) {
  return frame_rates[static_cast<std::size_t>(between(random, 0, 0.999) *
                                              static_cast<double>(std::size(frame_rates)))];
}

PlanRequest random_request(std::mt19937& random) {
  PlanRequest request;
  request.frame_rates = {random_rate(random)};
  if (often(random, 0.5)) request.readout_s = between(random, 0.0, 1.0 / 240.0);
  if (often(random, 0.5)) request.options.clock_tolerance_percent = between(random, 0, 2);
  return request;
}

Prediction alone(const std::vector<LightShare>& lights, const PlanRequest& request, FrameRate fps,
                 double exposure_s) {
  return predict(lights, {fps, exposure_s, readout_taken_s(request.readout_s, fps), request.rows},
                 request.options);
}

int quarter_of(double exposure_s, FrameRate fps) {
  return static_cast<int>(
      std::round(4.0 * std::abs(std::log2(shutter_angle_deg(exposure_s, fps) / 180.0))));
}

struct Ranged {
  const char* range;
  double (*exposure_s)(int point, FrameRate fps);
  int points;
};

const Ranged coarse_enough_to_judge_all[] = {
    {"1/20..1/300:0.5", [](int i, FrameRate) { return 1.0 / (20.0 + 0.5 * i); }, 561},
    {"20deg..360deg:0.5",
     [](int i, FrameRate fps) { return (20.0 + 0.5 * i) / 360.0 * fps.frame_s(); }, 681},
    {"1ms..40ms:0.1", [](int i, FrameRate) { return 1e-4 * (10 + i); }, 391}};

}  // namespace

TEST_CASE("the best value of a range is the best of all its points") {
  std::mt19937 random(2611);
  int clean = 0;
  int not_clean = 0;
  for (int i = 0; i < draws(80); ++i) {
    const std::vector<LightShare> lights = random_room(random);
    PlanRequest request = random_request(random);
    const Ranged& ranged = coarse_enough_to_judge_all[i % 3];
    request.available = {ranged.range};
    const ShutterPlan plan = plan_shutters(lights, request);
    const FrameRate fps = request.frame_rates.front();
    if (plan.settings.empty()) continue;
    REQUIRE(plan.outlooks.front().exact);
    const Setting& best = plan.outlooks.front().exact->best;
    CHECK(best.exposure_s == plan.settings.front().exposure_s);
    CHECK(best.worst.visibility == plan.settings.front().worst.visibility);
    (is_clean(best.worst) ? clean : not_clean)++;
    const int best_quarter = quarter_of(best.exposure_s, fps);
    const bool marginal =
        !best.whole_cycles && is_clean(best.worst) && best.worst.visibility > 0.75 * clean_below;
    for (int point = 0; point < ranged.points; ++point) {
      const double exposure_s = ranged.exposure_s(point, fps);
      if (exposure_s > fps.frame_s()) continue;
      const Recorded worst = alone(lights, request, fps, exposure_s).worst;
      INFO(ranged.range << " at " << fps.per_s() << ", case " << i << ": " << best.label << " "
                        << best.worst.visibility << ", but 1/" << 1.0 / exposure_s << " "
                        << worst.visibility);
      // As clean to within what nobody sees.
      if (!is_clean(best.worst)) {
        CHECK(worst.visibility > 0.99 * clean_below);
        CHECK(worst.verdict >= std::min(best.worst.verdict, Verdict::visible));
        continue;
      }
      // Less visible by little only, and not nearer to 180° unless only just clean.
      const bool hardly = worst.visibility > 0.74 * clean_below;
      if (quarter_of(exposure_s, fps) < best_quarter) CHECK(hardly);
      if (quarter_of(exposure_s, fps) == best_quarter && !marginal &&
          best.worst.visibility >= clean_below / 12.0) {
        CHECK(worst.visibility >= 0.94 * best.worst.visibility - 0.025);
      }
    }
  }
  CHECK(clean > draws(80) / 8);
  CHECK(not_clean > draws(80) / 15);
}

TEST_CASE("a point of a range is what predict says of it alone, whatever rates are in the list") {
  std::mt19937 random(2617);
  for (int i = 0; i < draws(100); ++i) {
    const std::vector<LightShare> lights = random_room(random);
    PlanRequest request = random_request(random);
    request.frame_rates.push_back(random_rate(random));
    request.available = {i % 2 ? "any" : "11.2deg..360deg:0.1", "1/50", "0.5ms..40ms:0.01"};
    const ShutterPlan plan = plan_shutters(lights, request);
    for (std::size_t k = 0; k < plan.settings.size(); k += 7) {
      const Setting& s = plan.settings[k];
      INFO(s.label << " at " << s.fps.per_s() << " fps, case " << i);
      const Prediction p = alone(lights, request, s.fps, s.exposure_s);
      CHECK(s.worst.visibility == p.worst.visibility);
      CHECK(s.worst.verdict == p.worst.verdict);
      CHECK(s.worst.band_percent == p.worst.band_percent);
      CHECK(s.nominal.visibility == p.nominal.visibility);
    }
  }
}

TEST_CASE("an exposure within a setting's clean range is clean, and one just outside is not") {
  std::mt19937 random(2621);
  int inside = 0;
  int ends = 0;
  for (int i = 0; i < draws(100); ++i) {
    const std::vector<LightShare> lights = random_room(random);
    PlanRequest request = random_request(random);
    if (i % 3 == 1) request.available = {"1/24..1/2000:0.1"};
    if (i % 3 == 2) request.available = {"any"};
    const ShutterPlan plan = plan_shutters(lights, request);
    double seen_to_s = -1.0;
    for (std::size_t k = 0; k < plan.settings.size(); k += 3) {
      const Setting& s = plan.settings[k];
      REQUIRE(s.clean_from_s.has_value() == is_clean(s.worst));
      REQUIRE(s.clean_to_s.has_value() == is_clean(s.worst));
      if (!s.clean_to_s || *s.clean_to_s == seen_to_s) continue;
      seen_to_s = *s.clean_to_s;
      const double from_s = *s.clean_from_s;
      const double to_s = *s.clean_to_s;
      INFO(s.label << " at " << s.fps.per_s() << " fps, clean from " << from_s << " to " << to_s
                   << ", case " << i);
      CHECK(from_s <= s.exposure_s);
      CHECK(to_s >= s.exposure_s);
      CHECK(to_s <= s.fps.frame_s() * (1.0 + 1e-12));
      const auto clean = [&](double exposure_s) {
        return is_clean(alone(lights, request, s.fps, exposure_s).worst);
      };
      for (int draw = 0; draw < 5; ++draw) {
        CHECK(clean(between(random, std::max(from_s, 1e-6), to_s)));
        ++inside;
      }
      CHECK(clean(std::max(from_s, 1e-6)));
      CHECK(clean(to_s));
      // Found by searching, visibilities have teeth of a few thousandths along the exposures.
      const auto shows = [&](double exposure_s) {
        constexpr double teeth = 0.003;
        return alone(lights, request, s.fps, exposure_s).worst.visibility >
               (1.0 - teeth) * clean_below;
      };
      constexpr double just = 1e-4;
      if (to_s < s.fps.frame_s() * (1.0 - just)) {
        CHECK(shows(to_s * (1.0 + just)));
        ++ends;
      }
      if (from_s > 0.0) {
        CHECK(shows(from_s * (1.0 - just)));
        ++ends;
      }
    }
  }
  CHECK(inside > draws(100) * 2);
  CHECK(ends > draws(100) / 2);
}

TEST_CASE("the stop beside the best value is a customary one, judged by itself") {
  for (const char* range : {"1/24..1/500:0.1", "11.2deg..360deg:0.1", "1ms..40ms:0.01"}) {
    PlanRequest request;
    request.frame_rates = {{24, 1}, {50, 1}};
    request.available = {range};
    const LightShare tube{typical_light("tube-magnetic", 50), 1.0};
    const ShutterPlan plan = plan_shutters({&tube, 1}, request);
    for (const FrameRateOutlook& o : plan.outlooks) {
      REQUIRE(o.exact);
      REQUIRE(o.exact->dial);
      const Setting& stop = *o.exact->dial;
      INFO(range << " at " << o.fps.per_s() << ": " << o.exact->best.label << ", " << stop.label);
      CHECK(std::abs(std::log2(stop.exposure_s / o.exact->best.exposure_s)) < 0.5);
      CHECK((stop.label.find("\u00b0") != std::string::npos) ==
            (std::string(range).find("deg") != std::string::npos));
      CHECK(stop.worst.visibility ==
            alone({tube}, request, o.fps, stop.exposure_s).worst.visibility);
      // 1/50 at 24 fps, 1/100 or 1/50 at 50: matched, whatever the notation.
      CHECK(is_clean(o.exact->best.worst));
    }
  }
}

TEST_CASE("an exposure of ranges that serves all rates is offered and clean at each") {
  std::mt19937 random(2633);
  int served = 0;
  for (int i = 0; i < draws(100); ++i) {
    const std::vector<LightShare> lights = {{random_light(random, any_light), 1.0}};
    PlanRequest request = random_request(random);
    request.frame_rates.push_back(random_rate(random));
    request.frame_rates.push_back(random_rate(random));
    request.available = {i % 2 ? "1/24..1/500:0.5" : "0.5ms..40ms:0.05"};
    const ShutterPlan plan = plan_shutters(lights, request);
    for (const CommonExposure& common : plan.serves_all) {
      ++served;
      const double point =
          i % 2 ? (1.0 / common.exposure_s - 24.0) / 0.5 : (1e3 * common.exposure_s - 0.5) / 0.05;
      INFO(common.exposure_s << ", case " << i);
      CHECK(std::abs(point - std::round(point)) < 1e-6 * point + 1e-6);
      for (const FrameRateOutlook& o : plan.outlooks) {
        CHECK(common.exposure_s <= o.fps.frame_s() * (1.0 + 1e-9));
        CHECK(is_clean(alone(lights, request, o.fps, common.exposure_s).worst));
      }
    }
    if (!plan.serves_all.empty()) continue;
    // None means that no point was.
    const auto exposure_at = [&](int k) {
      return i % 2 ? 1.0 / (24.0 + 0.5 * k) : 1e-3 * (0.5 + 0.05 * k);
    };
    for (int k = 0; k < 790; k += 3) {
      const bool everywhere =
          std::all_of(plan.outlooks.begin(), plan.outlooks.end(), [&](const FrameRateOutlook& o) {
            return exposure_at(k) <= o.fps.frame_s() &&
                   alone(lights, request, o.fps, exposure_at(k)).worst.visibility <
                       0.9 * clean_below;
          });
      INFO(exposure_at(k) << " s would serve all, case " << i);
      CHECK_FALSE(everywhere);
      if (everywhere) break;
    }
  }
  CHECK(served > draws(100) / 5);
}

TEST_CASE("within its clock margin what holds only with the clock is clean, beyond it is not") {
  PlanRequest request;
  request.frame_rates = {{24, 1}, {25, 1}, {60, 1}};
  for (const char* available : {"", "any", "1/24..1/2000:0.1"}) {
    if (*available) request.available = {available};
    const LightShare dimmer{typical_light("led-pwm", 50), 1.0};
    const ShutterPlan plan = plan_shutters({&dimmer, 1}, request);
    for (const FrameRateOutlook& o : plan.outlooks) {
      CHECK_FALSE(o.any_clean);
      REQUIRE(o.while_clock_holds);
      const Setting& s = *o.while_clock_holds;
      CHECK_FALSE(is_clean(s.worst));
      CHECK_FALSE(s.clean_from_s);
      REQUIRE(s.clock_margin_percent);
      const auto clean = [&](double tolerance_percent) {
        PlanRequest there = request;
        there.options.clock_tolerance_percent = tolerance_percent;
        return is_clean(alone({dimmer}, there, o.fps, s.exposure_s).worst);
      };
      INFO(s.label << " at " << o.fps.per_s() << ": " << *s.clock_margin_percent);
      CHECK(clean(0.98 * *s.clock_margin_percent));
      CHECK_FALSE(clean(1.1 * *s.clock_margin_percent));
      for (const Setting& other : plan.settings) {
        if (!(other.fps == o.fps) || !is_clean(other.nominal)) continue;
        CHECK(other.clock_margin_percent.value_or(0.0) <= 1.12 * *s.clock_margin_percent);
      }
    }
  }
}
