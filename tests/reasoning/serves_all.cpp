#include <algorithm>
#include <random>

#include "lampbeat/advice.hpp"
#include "lampbeat/camera.hpp"
#include "lampbeat/error.hpp"
#include "lampbeat/filming.hpp"
#include "lampbeat/shutters.hpp"
#include "lampbeat/typical.hpp"
#include "reasoning/predict_lights.hpp"
#include "support/catch.hpp"
#include "support/draws.hpp"
#include "support/findings.hpp"

// One exposure for several frame rates: in seconds, and clean at each of them.

using namespace lampbeat;
using namespace predict_lights;
using lampbeat::test::draws;
using lampbeat::test::has_finding;

namespace {

Light random_light(std::mt19937& random) {
  const double mains_hz = between(random, 0, 1) < 0.5 ? 50.0 : 60.0;
  return between(random, 0, 1) < 0.6 ? locked_series(random, mains_hz, 3)
                                     : series(random, between(random, 200.0, 5000.0), 3);
}

PlanRequest random_request(std::mt19937& random) {
  PlanRequest request;
  const int count = 2 + static_cast<int>(between(random, 0.0, 2.99));
  for (int i = 0; i < count; ++i) {
    request.frame_rates.push_back(
        frame_rates[static_cast<std::size_t>(between(random, 0, 0.999) * std::size(frame_rates))]);
  }
  const double kind = between(random, 0, 1);
  if (kind < 0.3) request.available = {"72deg", "90deg", "144deg", "172.8deg", "180deg", "360deg"};
  if (kind > 0.7) request.available = {"1/50", "1/60", "1/100", "1/120", "1/250", "180deg"};
  return request;
}

bool clean_at(const Light& light, double exposure_s, FrameRate fps, const PlanRequest& request) {
  const LightShare alone{light, 1.0};
  const Shot shot{fps, exposure_s, readout_taken_s(request.readout_s, fps), request.rows};
  return predict({&alone, 1}, shot, request.options).worst.verdict == Verdict::clean;
}

}  // namespace

TEST_CASE("an exposure that serves all rates is clean at each when predict is asked") {
  std::mt19937 random(2411);
  int served = 0;
  for (int i = 0; i < draws(200); ++i) {
    const Light light = random_light(random);
    const PlanRequest request = random_request(random);
    const LightShare alone{light, 1.0};
    const ShutterPlan plan = plan_shutters({&alone, 1}, request);
    const auto serves = [&](double exposure_s) {
      return std::any_of(plan.serves_all.begin(), plan.serves_all.end(),
                         [&](const CommonExposure& c) { return c.exposure_s == exposure_s; });
    };
    for (const CommonExposure& common : plan.serves_all) {
      for (const FrameRateOutlook& o : plan.outlooks) {
        INFO(common.exposure_s << " s at " << o.fps.per_s() << " fps, case " << i);
        REQUIRE(common.exposure_s <= o.fps.frame_s() * (1.0 + 1e-9));
        CHECK(clean_at(light, common.exposure_s, o.fps, request));
      }
      ++served;
    }
    // And none that is offered and clean at every rate is forgotten.
    for (const Setting& s : plan.settings) {
      const auto same = [&](const Setting& other) {
        return std::abs(other.exposure_s / s.exposure_s - 1.0) < 1e-9 &&
               other.worst.verdict == Verdict::clean;
      };
      const auto everywhere = std::count_if(plan.settings.begin(), plan.settings.end(), same);
      if (everywhere == static_cast<std::ptrdiff_t>(plan.outlooks.size())) {
        INFO(s.label << ", case " << i);
        CHECK((serves(s.exposure_s) || std::any_of(plan.serves_all.begin(), plan.serves_all.end(),
                                                   [&](const CommonExposure& c) {
                                                     return std::abs(c.exposure_s / s.exposure_s -
                                                                     1.0) < 3e-5;
                                                   })));
      }
    }
  }
  CHECK(served > draws(200) / 4);
}

TEST_CASE("angles of one exposure are named rate by rate") {
  // 1/59.94 s is 144° at 23.976, 180° at 29.97 and 360° at 59.94 frames a second.
  PlanRequest request;
  for (const char* fps : {"23.976", "29.97", "59.94"}) {
    request.frame_rates.push_back(parse_frame_rate(fps));
  }
  request.available = {"90deg", "144deg", "180deg", "360deg"};
  const LightShare tube{typical_light("tube-magnetic", 60), 1.0};
  const ShutterPlan plan = plan_shutters({&tube, 1}, request);
  REQUIRE(plan.serves_all.size() == 1);
  CHECK(plan.serves_all.front().exposure_s == Approx(1001.0 / 60000.0));
  const std::vector<std::string> sentences = advise(plan);
  CHECK(std::any_of(sentences.begin(), sentences.end(), [](const std::string& s) {
    return s.find("144\u00b0 at 23.976, 180\u00b0 at 29.97 and 360\u00b0 at 59.94 fps") !=
           std::string::npos;
  }));
  CHECK_FALSE(clean_at(tube.light, 0.4 * request.frame_rates[2].frame_s(), request.frame_rates[2],
                       request));
}

TEST_CASE("a readout longer than the frame is refused, and the rates are named") {
  const LightShare tube{typical_light("tube-magnetic", 50), 1.0};
  CHECK_THROWS_AS(predict({&tube, 1}, {{24, 1}, 0.02, 0.1, 1080}, {}), UsageError);
  CHECK_NOTHROW(predict({&tube, 1}, {{60, 1}, 0.01, 0.0167, 1080}, {}));  // 1/60 as written
  PlanRequest request;
  request.frame_rates = {{25, 1}, {50, 1}, {100, 1}};
  request.readout_s = 0.03;
  try {
    plan_shutters({&tube, 1}, request);
    FAIL("30 ms were taken at 50 fps");
  } catch (const UsageError& error) {
    const std::string message = error.what();
    CHECK(message.find("50") != std::string::npos);
    CHECK(message.find("100") != std::string::npos);
    CHECK(message.find("25 (") == std::string::npos);
  }
}

TEST_CASE("a rating leaves out the rates its camera cannot reach") {
  CHECK(rates_judged_at({}, {}) == filmed_frame_rates());
  const std::vector<FrameRate> slow = rates_judged_at({}, 0.03);
  CHECK(slow.back().per_s() == 30.0);
  CHECK_THROWS_AS(rates_judged_at({}, 0.1), UsageError);
  // Asked for, such a rate is refused; the others are put in order, each once.
  const std::vector<FrameRate> asked = {{60, 1}, {25, 1}, {50, 2}};
  CHECK_THROWS_AS(rates_judged_at(asked, 0.03), UsageError);
  CHECK(rates_judged_at(asked, 0.01) == std::vector<FrameRate>{{25, 1}, {60, 1}});
  const FilmingRating rating = rate_for_filming(typical_light("daylight", 50), 0.03, {});
  CHECK(rating.highest_clean_fps == 30.0);
}

TEST_CASE("a light moved to another mains and a share without a second light are said") {
  Light light = mains_ripple(60.0, 0.2);
  PredictionOptions moved;
  moved.mains_hz = 50.0;
  const LightShare whole{light, 1.0};
  const LightShare part{light, 0.3};
  const Shot shot{{25, 1}, 0.01, 0.016, 1080};
  CHECK(has_finding(predict({&whole, 1}, shot, moved).findings, "moved_mains"));
  CHECK(has_finding(rate_for_filming(light, {}, moved).findings, "moved_mains"));
  moved.mains_hz = 59.9;
  CHECK_FALSE(has_finding(predict({&whole, 1}, shot, moved).findings, "moved_mains"));
  CHECK(has_finding(predict({&part, 1}, shot, {}).findings, "lone_share"));
  CHECK_FALSE(has_finding(predict({&whole, 1}, shot, {}).findings, "lone_share"));
  const LightShare both[] = {{light, 0.3}, {typical_light("daylight", 50), 0.7}};
  CHECK_FALSE(has_finding(predict(both, shot, {}).findings, "lone_share"));
}
