#include <algorithm>
#include <cmath>
#include <random>
#include <regex>
#include <string>
#include <vector>

#include "lampbeat/advice.hpp"
#include "lampbeat/camera.hpp"
#include "lampbeat/typical.hpp"
#include "lampbeat/visibility.hpp"
#include "reasoning/predict_lights.hpp"
#include "support/catch.hpp"
#include "support/draws.hpp"

// What helps where a shot is not clean: another shutter, written as the asked one; a slower frame
// rate; steady light. Each claim is held against a prediction of what it names.

using namespace lampbeat;
using namespace predict_lights;
using lampbeat::test::draws;
using lampbeat::test::often;

namespace {

constexpr RandomLights any_light = {0.7, 100.0, 5000.0, 0.05};

Shot random_shot(std::mt19937& random) {
  const FrameRate fps = frame_rates[static_cast<std::size_t>(
      between(random, 0, 0.999) * static_cast<double>(std::size(frame_rates)))];
  const double exposure_s = fps.frame_s() * logarithmic(random, 0.05, 1.0);
  if (often(random, 0.5)) return shot_of(fps, exposure_s, {});
  return shot_of(fps, exposure_s, between(random, 0.0, 1.0 / 240.0));
}

bool clean_with_daylight(const Light& light, double steady_share, const Shot& shot) {
  const std::vector<LightShare> mixed = {{light, 1.0 - steady_share},
                                         {typical_light("daylight", 50), steady_share}};
  return is_clean(predict(mixed, shot, {}).worst);
}

bool clean_at(const Light& light, FrameRate fps, double exposure_s, const Shot& asked) {
  const std::optional<double> readout_s =
      asked.readout_assumed ? std::nullopt : std::optional(asked.readout_s);
  const LightShare alone{light, 1.0};
  return is_clean(predict({&alone, 1}, shot_of(fps, exposure_s, readout_s, asked.rows), {}).worst);
}

/// The shutter a sentence names behind these words, and the rate before them.
std::string named_after(const std::vector<std::string>& sentences, const std::string& words) {
  for (const std::string& s : sentences) {
    const std::size_t at = s.find(words);
    if (at == std::string::npos) continue;
    const std::size_t from = at + words.size();
    return s.substr(from, s.find_first_of(":(;", from) - from);
  }
  return "";
}

std::string without_spaces_at_the_end(std::string text) {
  while (!text.empty() && text.back() == ' ') text.pop_back();
  return text;
}

}  // namespace

TEST_CASE("the named share of steady light makes the setting clean, and clearly less does not") {
  std::mt19937 random(1307);
  int helped = 0;
  for (int i = 0; i < draws(300); ++i) {
    const Light light = random_light(random, any_light);
    const Shot shot = random_shot(random);
    const LightShare alone{light, 1.0};
    const Prediction p = predict({&alone, 1}, shot, {});
    const WaysOut ways = ways_out(p);
    INFO("case " << i << ", " << shot.exposure_s << " s at " << shot.fps.per_s() << " fps, "
                 << p.worst.visibility);
    if (is_clean(p.worst)) {
      CHECK(ways.steady_share == 0.0);
      continue;
    }
    if (!ways.steady_share) {
      CHECK_FALSE(clean_with_daylight(light, 0.998, shot));
      continue;
    }
    const double share = *ways.steady_share;
    REQUIRE(share > 0.0);
    REQUIRE(share < 1.0);
    ++helped;
    CHECK(clean_with_daylight(light, share, shot));
    CHECK(clean_with_daylight(light, 0.5 * (1.0 + share), shot));
    // A hundredth of the ripple more than it takes, and the thousandth that was rounded up.
    const double clearly_less = 1.0 - 1.01 * (1.0 - share) - 1.1e-3;
    if (clearly_less > 0.0) CHECK_FALSE(clean_with_daylight(light, clearly_less, shot));
  }
  CHECK(helped > draws(300) / 4);
}

TEST_CASE("the share a sentence names is the one that helps, rounded so that it is true") {
  std::mt19937 random(1319);
  const std::regex share_of("at least ([0-9.]+) % of the light on the subject");
  int said = 0;
  for (int i = 0; i < draws(200); ++i) {
    const Light light = random_light(random, any_light);
    const FrameRate fps{240, 1};
    const Shot shot = shot_of(fps, fps.frame_s() * between(random, 0.3, 1.0), {});
    const LightShare alone{light, 1.0};
    for (const std::string& s : advise(predict({&alone, 1}, shot, {}))) {
      std::smatch found;
      if (!std::regex_search(s, found, share_of)) continue;
      const double share = std::stod(found[1]) / 100.0;
      INFO(s);
      CHECK(clean_with_daylight(light, share, shot));
      CHECK_FALSE(clean_with_daylight(light, share - 0.015, shot));
      ++said;
    }
  }
  CHECK(said > draws(200) / 2);
}

TEST_CASE("a slower rate is the fastest customary one at which something is clean") {
  std::mt19937 random(1321);
  int named = 0;
  for (int i = 0; i < draws(200); ++i) {
    const Light light = random_light(random, any_light);
    const FrameRate fps = often(random, 0.5) ? FrameRate{240, 1} : FrameRate{120, 1};
    const std::optional<double> readout_s =
        often(random, 0.5) ? std::nullopt : std::optional(between(random, 0.0, 0.004));
    const Shot shot = shot_of(fps, 0.5 * fps.frame_s(), readout_s);
    const LightShare alone{light, 1.0};
    const auto asked = often(random, 0.5) ? ShutterNotation::fraction : ShutterNotation::angle;
    const Prediction p = predict({&alone, 1}, shot, {});
    const WaysOut ways = ways_out(p, {}, asked);
    if (!ways.slower) continue;
    ++named;
    const SlowerRate& slower = *ways.slower;
    INFO("case " << i << ": " << slower.label << " at " << slower.fps.per_s());
    CHECK(slower.fps.per_s() < fps.per_s());
    CHECK(parse_exposure_s(slower.label, slower.fps) == Approx(slower.exposure_s).epsilon(1e-9));
    CHECK(clean_at(light, slower.fps, slower.exposure_s, shot));
    CHECK((slower.label.find("\u00b0") != std::string::npos) == (asked == ShutterNotation::angle));
    const std::vector<std::string> said = advise(p, {}, asked);
    CHECK(std::any_of(said.begin(), said.end(), [&](const std::string& s) {
      return s.find(frame_rate_label(slower.fps) + " fps at " + slower.label) == 0;
    }));
    // Nothing customary is clean at the rates in between.
    for (const FrameRate between_them : customary_frame_rates()) {
      if (between_them.per_s() <= slower.fps.per_s() || between_them.per_s() >= fps.per_s()) {
        continue;
      }
      for (int stop = 0; stop <= 40; ++stop) {
        const double exposure_s = between_them.frame_s() * std::exp2(-0.1 * stop);
        const bool customary = std::abs(std::log2(exposure_s * between_them.per_s() * 2.0)) < 0.01;
        if (customary) CHECK_FALSE(clean_at(light, between_them, exposure_s, shot));
      }
    }
  }
  CHECK(named > draws(200) / 10);
}

TEST_CASE(
    "a plan names a slower rate and a share of steady light for every rate without a shutter") {
  for (const double mains_hz : {50.0, 60.0}) {
    PlanRequest request;
    request.frame_rates = {{24, 1}, {240, 1}};
    const LightShare tube{typical_light("tube-magnetic", mains_hz), 1.0};
    const ShutterPlan plan = plan_shutters({&tube, 1}, request);
    CHECK_FALSE(plan.outlooks[0].slower);
    const FrameRateOutlook& slow = plan.outlooks[1];
    REQUIRE_FALSE(slow.any_clean);
    REQUIRE(slow.slower);
    CHECK(slow.slower->fps.per_s() == 2.0 * mains_hz);
    CHECK(slow.slower->exposure_s == Approx(1.0 / (2.0 * mains_hz)));
    REQUIRE(slow.steady_share_at_180deg);
    const double share = *slow.steady_share_at_180deg;
    const Shot shot = shot_of({240, 1}, 1.0 / 480.0, {});
    CHECK(clean_with_daylight(tube.light, share, shot));
    CHECK_FALSE(clean_with_daylight(tube.light, share - 0.004, shot));
    const std::vector<std::string> said = advise(plan);
    CHECK(std::any_of(said.begin(), said.end(), [&](const std::string& s) {
      return s.find("Instead of 240 fps take " + frame_rate_label(slow.slower->fps) + " fps at " +
                    slow.slower->label) != std::string::npos;
    }));
    CHECK(std::any_of(said.begin(), said.end(), [](const std::string& s) {
      return s.find("180\u00b0 would be clean if daylight or flicker-free lamps gave at least") ==
             0;
    }));
  }
}

TEST_CASE("what to set is written as the shutter was asked for, and clean to its digits") {
  std::mt19937 random(1327);
  int named[3] = {0, 0, 0};
  for (int i = 0; i < draws(300); ++i) {
    const Light light = random_light(random, any_light);
    const Shot shot = random_shot(random);
    const LightShare alone{light, 1.0};
    const Prediction p = predict({&alone, 1}, shot, {});
    const auto asked = static_cast<ShutterNotation>(i % 3);
    std::string set = without_spaces_at_the_end(named_after(advise(p, {}, asked), "Set "));
    if (set.empty()) continue;
    INFO(set << " at " << shot.fps.per_s() << ", case " << i);
    CHECK(shutter_notation(set) == asked);
    CHECK(clean_at(light, shot.fps, parse_exposure_s(set, shot.fps), shot));
    ++named[i % 3];
  }
  for (const int count : named) CHECK(count > draws(300) / 30);
}

TEST_CASE("what to set with a camera is on its dial, ranges included") {
  std::mt19937 random(1361);
  int named = 0;
  for (int i = 0; i < draws(200); ++i) {
    const Light light = random_light(random, any_light);
    const Shot shot = random_shot(random);
    const LightShare alone{light, 1.0};
    const Prediction p = predict({&alone, 1}, shot, {});
    const std::vector<std::string> degrees = {"11.2deg..360deg:0.1"};
    const std::string set = without_spaces_at_the_end(
        named_after(advise(p, degrees, ShutterNotation::fraction), "Set "));
    if (set.empty()) continue;
    ++named;
    INFO(set << ", case " << i);
    CHECK(shutter_notation(set) == ShutterNotation::angle);
    CHECK(clean_at(light, shot.fps, parse_exposure_s(set, shot.fps), shot));
  }
  CHECK(named > draws(200) / 10);
}

TEST_CASE("a marginal angle does not stand before a matched stop of the dial") {
  // 30 fps on 50 Hz mains: at the least favourable mains 180° is just clean for a ripple this deep,
  // 1/50 whatever the ripple.
  const FrameRate fps{30, 1};
  const auto plan_of = [&](double depth) {
    PlanRequest request;
    request.frame_rates = {fps};
    request.options.mains_tolerance_hz = 0.1;
    const LightShare alone{mains_ripple(50.0, depth), 1.0};
    return plan_shutters({&alone, 1}, request);
  };
  const auto at = [](const ShutterPlan& plan, const std::string& label) {
    return *std::find_if(plan.settings.begin(), plan.settings.end(),
                         [&](const Setting& s) { return s.label == label; });
  };
  double depth = 0.02;
  while (at(plan_of(depth), "1/60").worst.visibility > 0.97 * clean_below) depth *= 0.97;
  const ShutterPlan plan = plan_of(depth);
  REQUIRE(at(plan, "1/60").worst.visibility > 0.9 * clean_below);
  CHECK(plan.settings.front().label == "1/50");
  CHECK(advise(plan).front().find("Set 1/50 s") == 0);
  // Well within what is clean it is 180° that stands first.
  CHECK(plan_of(0.2 * depth).settings.front().label == "1/60");
}

TEST_CASE("the setting a plan's advice names for one rate stands first in its table") {
  std::mt19937 random(1367);
  int named = 0;
  for (int i = 0; i < draws(200); ++i) {
    const Light light = random_light(random, any_light);
    PlanRequest request;
    request.frame_rates = {random_shot(random).fps};
    const LightShare alone{light, 1.0};
    const ShutterPlan plan = plan_shutters({&alone, 1}, request);
    const std::string set = without_spaces_at_the_end(named_after(advise(plan), "Set "));
    if (set.empty()) continue;
    ++named;
    INFO(set << ", case " << i);
    CHECK(set.find(plan.settings.front().label) == 0);
  }
  CHECK(named > draws(200) / 4);
}
