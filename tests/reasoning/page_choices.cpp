#include <algorithm>
#include <cmath>
#include <random>

#include "lampbeat/companions.hpp"
#include "lampbeat/typical.hpp"
#include "lampbeat/wall_card.hpp"
#include "support/catch.hpp"
#include "support/draws.hpp"

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

std::vector<std::string> labels_of(const WallCard& card) {
  std::vector<std::string> labels;
  for (const WallCard::Shutter& shutter : card.shutters) labels.push_back(shutter.label);
  return labels;
}

}  // namespace

TEST_CASE("the wall card gives places to what is clean first, then to habits, then to margins") {
  ShutterPlan plan;
  FrameRateOutlook outlook;
  outlook.fps = {25, 1};
  plan.outlooks = {outlook};
  // One clean shutter, two habits, and of ten others, five each the same to the hand,
  // as many as keep the card from being empty.
  plan.settings.push_back(setting({25, 1}, 1.0 / 99.0, "1/99", Verdict::clean, 0.1));
  plan.settings.push_back(setting({25, 1}, 1.0 / 50.0, "1/50", Verdict::strong));
  plan.settings.push_back(setting({25, 1}, 1.0 / 125.0, "1/125", Verdict::visible));
  for (int i = 0; i < 10; ++i) {
    plan.settings.push_back(
        setting({25, 1}, 1.0 / (200.0 + i), "1/" + std::to_string(200 + i), Verdict::strong));
  }
  const WallCard card = wall_card(plan);
  CHECK(labels_of(card) == std::vector<std::string>{"1/50", "1/99", "1/125", "1/200"});
  CHECK(card.left_out == 1);
  CHECK(card.serving == std::vector<std::string>{"1/99"});
  CHECK(card.hopeless.empty());
  CHECK_FALSE(card.all_clean);
  REQUIRE(card.shutters[1].cells.size() == 1);
  REQUIRE(card.shutters[1].cells[0]);
  CHECK(plan.settings[*card.shutters[1].cells[0]].exposure_s == 1.0 / 99.0);
}

TEST_CASE("the wall card names the frame rates without a clean shutter") {
  ShutterPlan plan;
  plan.settings = {setting({24, 1}, 1.0 / 60.0, "1/60", Verdict::clean),
                   setting({50, 1}, 1.0 / 60.0, "1/60", Verdict::borderline)};
  const WallCard card = wall_card(plan);
  CHECK(card.frame_rates == std::vector<FrameRate>{{24, 1}, {50, 1}});
  CHECK(card.hopeless == std::vector<FrameRate>{{50, 1}});
  CHECK(card.serving == std::vector<std::string>{"1/60"});
  CHECK(card.borderline_at_best.empty());
}

TEST_CASE("on the wall card exposures that are the same to the hand are one shutter") {
  ShutterPlan plan;
  plan.settings = {setting({24, 1}, 1.0 / 60.2, "1/60.2", Verdict::clean),
                   setting({24, 1}, 1.0 / 60.0, "1/60", Verdict::clean),
                   setting({25, 1}, 1.0 / 60.0, "1/60", Verdict::borderline),
                   setting({25, 1}, 1.0 / 60.1, "149.8°", Verdict::clean)};
  const WallCard card = wall_card(plan);
  REQUIRE(labels_of(card) == std::vector<std::string>{"1/60"});
  // At 24 the dial's own name; at 25 what is clean there.
  CHECK(plan.settings[*card.shutters[0].cells[0]].label == "1/60");
  CHECK(plan.settings[*card.shutters[0].cells[1]].label == "149.8°");
  CHECK(card.all_clean);
}

TEST_CASE(
    "the wall card proposes nothing but what is clean in the worst case, and folds what is alike") {
  std::mt19937 random(77);
  for (int i = 0; i < lampbeat::test::draws(30); ++i) {
    Light dimmer;
    dimmer.name = "dimmer";
    dimmer.components = {{lampbeat::test::logarithmic(random, 200.0, 3000.0),
                          lampbeat::test::between(random, 0.1, 1.2), 0.0, std::nullopt}};
    std::vector<LightShare> lights = {{dimmer, 1.0}};
    if (i % 2 == 0)
      lights.push_back({typical_light("tube-magnetic", i % 4 == 0 ? 50.0 : 60.0), 2.0});
    PlanRequest request;
    request.frame_rates = {{24, 1}, {25, 1}, {30, 1}, {50, 1}};
    const ShutterPlan plan = plan_shutters(lights, request);
    const WallCard card = wall_card(plan);
    REQUIRE(card.shutters.size() <= 8);
    for (std::size_t a = 0; a < card.shutters.size(); ++a) {
      const WallCard::Shutter& shutter = card.shutters[a];
      INFO(shutter.label << " of case " << i);
      bool clean_somewhere = false;
      for (std::size_t row = 0; row < shutter.cells.size(); ++row) {
        if (!shutter.cells[row]) continue;
        const Setting& s = plan.settings[*shutter.cells[row]];
        CHECK(s.fps == card.frame_rates[row]);
        clean_somewhere = clean_somewhere || is_clean(s.worst);
        for (std::size_t b = 0; b < a; ++b) {
          const auto& other = card.shutters[b].cells[row];
          if (!other) continue;
          CHECK(std::abs(plan.settings[*other].exposure_s / s.exposure_s - 1.0) > 0.019);
        }
      }
      // "1/60.2" that only just fits the dimmer as it was measured is nothing to pin to a wall.
      const bool off_the_dial = shutter.label.find('.') != std::string::npos;
      CHECK((clean_somewhere || !off_the_dial));
    }
    for (const std::string& serving : card.serving) {
      for (const WallCard::Shutter& shutter : card.shutters) {
        if (shutter.label != serving) continue;
        std::size_t clean = 0;
        for (const auto& cell : shutter.cells)
          clean += cell && is_clean(plan.settings[*cell].worst);
        CHECK(clean == card.frame_rates.size() - card.hopeless.size());
      }
    }
  }
}

TEST_CASE(
    "where one light of several spoils every shutter, the wall card says what goes without it") {
  Light dimmer;
  dimmer.name = "cabinet strip";
  dimmer.components = {{481.3, 0.9, 0.0, std::nullopt}};
  const std::vector<LightShare> lights = {{typical_light("tube-magnetic", 60.0), 2.0},
                                          {dimmer, 1.0}};
  PlanRequest request;
  request.frame_rates = {{24, 1}, {30, 1}};
  const WallCard card = wall_card(plan_shutters(lights, request));
  REQUIRE(card.hopeless.size() == 2);
  REQUIRE(card.spoiler);
  CHECK(card.spoiler->name == "cabinet strip");
  CHECK(card.spoiler->serving == std::vector<std::string>{"1/60", "1/120"});
}

TEST_CASE("a measured light's page starts from the shot people take on its mains") {
  const std::pair<double, const char*> mains[] = {{49.98, "25 frames a second at 180° (1/50)"},
                                                  {60.02, "30 frames a second at 180° (1/60)"}};
  for (const auto& [mains_hz, shot] : mains) {
    Measurement m;
    m.mean = 1.0;
    m.mains_hz = mains_hz;
    m.percent_flicker = 28.0;
    m.dominant_hz = 2.0 * mains_hz;
    m.components = {{2.0 * mains_hz, 0.001, 28.0, 0.02, 1.0, 0.0, 2, ComponentKind::mains}};
    const PageCompanions page = companions_of(m, FilmingRating{});
    REQUIRE(page.advice.size() > 1);
    INFO(page.advice.front());
    CHECK(page.advice.front().find(shot) != std::string::npos);
    const bool clean = is_clean(page.pictured->worst);
    CHECK((page.advice.front().find("is clean") != std::string::npos) == clean);
  }
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
