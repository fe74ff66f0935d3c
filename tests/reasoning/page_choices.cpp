#include <algorithm>

#include "lampbeat/companions.hpp"
#include "lampbeat/typical.hpp"
#include "lampbeat/wall_card.hpp"
#include "support/catch.hpp"

using namespace lampbeat;

namespace {

Setting setting(FrameRate fps, double exposure_s, const std::string& label, Verdict worst,
                std::optional<double> margin_hz = {}) {
  Setting s;
  s.fps = fps;
  s.exposure_s = exposure_s;
  s.label = label;
  s.worst.verdict = worst;
  s.mains_margin_hz = margin_hz;
  return s;
}

std::vector<FrameRate> rates_of(const ShutterPlan& plan) {
  std::vector<FrameRate> rates;
  for (const FrameRateOutlook& o : plan.outlooks) rates.push_back(o.fps);
  return rates;
}

}  // namespace

TEST_CASE("the wall card gives places to what is clean first, then to habits, then to margins") {
  ShutterPlan plan;
  FrameRateOutlook outlook;
  outlook.fps = {25, 1};
  plan.outlooks = {outlook};
  // Eight places: one clean shutter, two habits, and the first five of ten others.
  plan.settings.push_back(setting({25, 1}, 1.0 / 99.0, "1/99", Verdict::clean, 0.1));
  plan.settings.push_back(setting({25, 1}, 1.0 / 50.0, "1/50", Verdict::strong));
  plan.settings.push_back(setting({25, 1}, 1.0 / 125.0, "1/125", Verdict::visible));
  for (int i = 0; i < 10; ++i) {
    plan.settings.push_back(
        setting({25, 1}, 1.0 / (200.0 + i), "1/" + std::to_string(200 + i), Verdict::strong));
  }
  const WallCard card = wall_card(plan);
  CHECK(card.shutters == std::vector<std::string>{"1/50", "1/99", "1/125", "1/200", "1/201",
                                                  "1/202", "1/203", "1/204"});
  CHECK(card.left_out == 5);
  CHECK(card.clean_everywhere == std::vector<std::string>{"1/99"});
  CHECK(card.hopeless.empty());
  CHECK_FALSE(card.all_clean);
  REQUIRE(setting_at(plan, {50, 2}, "1/99") != nullptr);
  CHECK(setting_at(plan, {50, 2}, "1/99")->exposure_s == 1.0 / 99.0);
  CHECK(setting_at(plan, {24, 1}, "1/99") == nullptr);
}

TEST_CASE("the wall card names the frame rates without a clean shutter") {
  ShutterPlan plan;
  plan.settings = {setting({24, 1}, 1.0 / 60.0, "1/60", Verdict::clean),
                   setting({50, 1}, 1.0 / 60.0, "1/60", Verdict::borderline)};
  const WallCard card = wall_card(plan);
  CHECK(card.frame_rates == std::vector<FrameRate>{{24, 1}, {50, 1}});
  CHECK(card.hopeless == std::vector<FrameRate>{{50, 1}});
  CHECK(card.clean_everywhere.empty());
}

TEST_CASE("a prediction's page maps its own frame rate first, and those its camera can read") {
  const LightShare tube{typical_light("tube-magnetic", 60.0), 1.0};
  const Prediction slow = predict({&tube, 1}, shot_of({30000, 1001}, 1.0 / 60.0, 0.018), {});
  const PageCompanions page = companions_of(slow);
  REQUIRE((page.plan && page.field && page.pictured));
  // 29.97 stands for 30 as well, and 18 ms do not fit into a frame of 60 or 120.
  CHECK(rates_of(*page.plan) == std::vector<FrameRate>{{30000, 1001}, {24, 1}, {25, 1}, {50, 1}});
  CHECK(page.plan->readout_s == 0.018);
  CHECK(page.field->settings.size() > page.plan->outlooks.size());
  CHECK(page.pictured->nominal.band_percent == slow.nominal.band_percent);

  const Prediction unknown = predict({&tube, 1}, shot_of({25, 1}, 1.0 / 60.0, {}), {});
  const PageCompanions assumed = companions_of(unknown);
  CHECK(rates_of(*assumed.plan) ==
        std::vector<FrameRate>{{25, 1}, {24, 1}, {30, 1}, {50, 1}, {60, 1}, {120, 1}});
  CHECK_FALSE(assumed.plan->readout_s);
}

TEST_CASE("advice on a page keeps to the camera's own shutters") {
  const LightShare tube{typical_light("tube-magnetic", 50.0), 1.0};
  const Prediction p = predict({&tube, 1}, shot_of({25, 1}, 1.0 / 80.0, 0.016), {});
  const std::vector<std::string> dial = {"1/25", "1/80"};
  const auto names = [](const PageCompanions& page, const char* shutter) {
    return std::any_of(page.advice.begin(), page.advice.end(), [&](const std::string& s) {
      return s.find(std::string("Set ") + shutter) != std::string::npos;
    });
  };
  CHECK(names(companions_of(p), "1/100 s"));
  CHECK(names(companions_of(p, dial), "1/25 s"));
}
