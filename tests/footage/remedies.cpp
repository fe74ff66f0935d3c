// What to film at instead: exposures of whole cycles, by hand.

#include "footage/answer/remedy.hpp"

#include "support/catch.hpp"

using namespace lampbeat;
using namespace lampbeat::footage;

namespace {

answer::Answer strong_bands(double light_hz) {
  answer::Answer seen;
  seen.judgement = answer::Judgement{20.0, Verdict::strong};
  seen.light.lights = {{light_hz / 2.0, 0.1, "", false}, {light_hz, 0.1, "", true}};
  seen.diagnosis.waves.resize(1);
  return seen;
}

}  // namespace

TEST_CASE("the shortest exposure of whole cycles is offered, and one near half the frame") {
  struct Expected {
    double light_hz;
    FrameRate rate;
    std::vector<double> exposures_s;
  };
  const Expected expected =
      GENERATE(Expected{100.0, {25, 1}, {1.0 / 100.0, 1.0 / 50.0}},
               Expected{99.97, {25, 1}, {1.0 / 100.0, 1.0 / 50.0}},  // today's mains
               Expected{120.0, {30000, 1001}, {1.0 / 120.0, 1.0 / 60.0}},
               Expected{480.0, {24, 1}, {1.0 / 480.0, 10.0 / 480.0}},
               Expected{437.0, {50, 1}, {1.0 / 437.0, 4.0 / 437.0}},
               Expected{100.0, {100, 1}, {1.0 / 100.0}},
               Expected{100.0, {120, 1}, {}});  // a frame shorter than one cycle
  CAPTURE(expected.light_hz, expected.rate.per_s());
  const auto remedy = answer::remedy_of(strong_bands(expected.light_hz), expected.rate);
  REQUIRE(remedy);
  CHECK(remedy->light_hz);
  CHECK_FALSE(remedy->of_deepest_alone);
  REQUIRE(remedy->exposures_s.size() == expected.exposures_s.size());
  for (std::size_t i = 0; i < expected.exposures_s.size(); ++i) {
    CHECK(remedy->exposures_s[i] == Approx(expected.exposures_s[i]).epsilon(1e-12));
  }
}

TEST_CASE("a photograph has no frame to fit, so the two shortest exposures are offered") {
  const auto remedy = answer::remedy_of(strong_bands(100.0), std::nullopt);
  REQUIRE(remedy);
  CHECK(remedy->exposures_s == std::vector<double>{1.0 / 100.0, 2.0 / 100.0});
}

TEST_CASE("no shutter is chosen for a light that is not known") {
  answer::Answer seen = strong_bands(100.0);
  for (LightCandidate& light : seen.light.lights) light.plausible = false;
  const auto remedy = answer::remedy_of(seen, FrameRate{25, 1});
  REQUIRE(remedy);
  CHECK_FALSE(remedy->light_hz);
  CHECK(remedy->exposures_s.empty());
}

TEST_CASE("a second lamp is not cured by the exposures of the first") {
  answer::Answer seen = strong_bands(100.0);
  seen.diagnosis.waves.resize(2);
  CHECK(answer::remedy_of(seen, FrameRate{25, 1})->of_deepest_alone);
}

TEST_CASE("what is clean or not judged needs no remedy") {
  answer::Answer seen = strong_bands(100.0);
  seen.judgement->verdict = Verdict::clean;
  CHECK_FALSE(answer::remedy_of(seen, FrameRate{25, 1}));
  seen.judgement.reset();
  CHECK_FALSE(answer::remedy_of(seen, FrameRate{25, 1}));
}
