#include <cmath>
#include <numbers>
#include <random>

#include "lampbeat/room.hpp"
#include "reasoning/rooms.hpp"
#include "support/catch.hpp"
#include "support/findings.hpp"

// Alike fixtures on the conductors of a supply: what they leave of each other's ripple.

using namespace lampbeat;
using namespace predict_lights;
using namespace rooms;
using lampbeat::test::between;
using lampbeat::test::draws;

namespace {

/// Shares of fixtures given by hand.
std::vector<FixtureShare> shares_of(const std::vector<double>& parts) {
  std::vector<FixtureShare> shares;
  for (std::size_t i = 0; i < parts.size(); ++i)
    shares.push_back({i, 100.0 * parts[i], 0.0, parts[i]});
  return shares;
}

Room alike(const Light& light, const std::vector<Conductor>& conductors) {
  Room room = black_room();
  for (const Conductor c : conductors) {
    room.fixtures.push_back(lamp("lamp " + std::to_string(room.fixtures.size()), light, {}));
    room.fixtures.back().kind = "one kind";
    room.fixtures.back().conductor = c;
  }
  return room;
}

double amplitude_at(const std::vector<LightShare>& lights, int order) {
  double sum = 0.0;
  for (const LightShare& l : lights) {
    for (const LightComponent& c : l.light.components) {
      if (c.mains_order == order) sum += l.share * c.amplitude;
    }
  }
  return sum;
}

const Shot shot{{25, 1}, 1.0 / 500.0, 0.016, 1080};

constexpr double third = 1.0 / 3.0;

}  // namespace

TEST_CASE("equal shares of twice the mains on three phases leave nothing") {
  const Room room = alike(mains_ripple(50.0, 0.4), {Conductor::l1, Conductor::l2, Conductor::l3});
  const auto lights = lights_on(room, shares_of({third, third, third}));
  REQUIRE(lights.size() == 1);
  CHECK(lights[0].light.components.empty());
  const Prediction p = predict(lights, shot, {});
  CHECK(p.worst.band_percent == 0.0);
  CHECK(p.worst.verdict == Verdict::clean);
  // Unequal shares leave the length of the sum of three arrows: |½ + ¼e^(−i240°) + ¼e^(−i480°)|.
  CHECK(amplitude_at(lights_on(room, shares_of({0.5, 0.25, 0.25})), 2) == Approx(0.25 * 0.4));
}

TEST_CASE("six times the mains is the same on all three phases") {
  const Room room =
      alike(mains_ripple(50.0, 0.4, 6), {Conductor::l1, Conductor::l2, Conductor::l3});
  CHECK(amplitude_at(lights_on(room, shares_of({third, third, third})), 6) == Approx(0.4));
}

TEST_CASE("the legs of a split-phase supply leave twice the mains as it was") {
  const Light light = mains_ripple(60.0, 0.3);
  const auto legs = lights_on(alike(light, {Conductor::a, Conductor::b}), shares_of({0.6, 0.4}));
  const auto one = lights_on(alike(light, {Conductor::a, Conductor::a}), shares_of({0.6, 0.4}));
  CHECK(amplitude_at(legs, 2) == Approx(0.3));
  const std::vector<LightShare> alone = {{light, 1.0}};
  CHECK(predict(legs, shot, {}).worst.visibility ==
        Approx(predict(alone, shot, {}).worst.visibility).epsilon(1e-9));
  CHECK(predict(one, shot, {}).worst.visibility ==
        Approx(predict(alone, shot, {}).worst.visibility).epsilon(1e-9));
}

TEST_CASE("odd orders fill each other from leg to leg, unless a plug is turned round") {
  const auto lights = lights_on(alike(mains_ripple(60.0, 0.3, 1), {Conductor::a, Conductor::b}),
                                shares_of({0.5, 0.5}));
  REQUIRE(lights.size() == 1);
  CHECK(lights[0].light.components.empty());
  const Prediction p = predict(lights, shot, {});
  CHECK(p.nominal.band_percent == 0.0);
  const std::vector<LightShare> alone = {{mains_ripple(60.0, 0.3, 1), 1.0}};
  CHECK(p.worst.visibility == Approx(predict(alone, shot, {}).worst.visibility).epsilon(1e-6));
}

TEST_CASE("on no known phase, of another kind, or running free, lights are judged in step") {
  const Light light = mains_ripple(50.0, 0.4);
  const auto visibility = [](const Room& room) {
    return predict(lights_on(room, shares_of({third, third, third})), shot, {}).worst.visibility;
  };
  const std::vector<LightShare> alone = {{light, 1.0}};
  const double in_step = predict(alone, shot, {}).worst.visibility;
  CHECK(visibility(alike(light, {Conductor::unknown, Conductor::unknown, Conductor::unknown})) ==
        Approx(in_step).epsilon(1e-6));
  CHECK(visibility(alike(light, {Conductor::l1, Conductor::l1, Conductor::unknown})) ==
        Approx(in_step).epsilon(1e-3));
  Room kinds = alike(light, {Conductor::l1, Conductor::l2, Conductor::l3});
  for (Fixture& f : kinds.fixtures) f.kind = f.name;
  CHECK(visibility(kinds) == Approx(in_step).epsilon(1e-3));
  const Room free = alike(free_ripple(437.0, 0.4), {Conductor::l1, Conductor::l2, Conductor::l3});
  const std::vector<LightShare> free_alone = {{free_ripple(437.0, 0.4), 1.0}};
  CHECK(visibility(free) == Approx(predict(free_alone, shot, {}).worst.visibility).epsilon(1e-6));
}

TEST_CASE("lights that change do not cancel: each may be in another state") {
  Light light = mains_ripple(50.0, 0.1);
  LightState deep;
  deep.what = "from 2 s to 3 s";
  deep.mains_hz = 50.0;
  deep.components = {{100.0, 0.4, 0.0, 2}};
  light.other_states = {deep};
  const auto lights = lights_on(alike(light, {Conductor::l1, Conductor::l2, Conductor::l3}),
                                shares_of({third, third, third}));
  const Prediction p = predict(lights, shot, {});
  CHECK(p.nominal.band_percent == 0.0);
  // One deep and two shallow on three phases leave (0.4 − 0.1)/3; no more than all deep in step.
  const std::vector<LightShare> mixed = {{mains_ripple(50.0, 0.1), 1.0}};
  CHECK(p.worst.visibility >= predict(mixed, shot, {}).worst.visibility);
}

TEST_CASE("the sum over phases is the light a camera would see, rendered by brute force") {
  std::mt19937 random(4201);
  PredictionOptions options;
  options.mains_tolerance_hz = 0.0;
  for (int i = 0; i < draws(60); ++i) {
    const double mains_hz = test::often(random, 0.5) ? 50.0 : 60.0;
    const Light light = locked_series(random, mains_hz, 3);
    const bool legs = test::often(random, 0.3);
    const std::vector<Conductor> on =
        legs ? std::vector{Conductor::a, Conductor::b, Conductor::b}
             : std::vector{Conductor::l1, Conductor::l2, Conductor::l3};
    const std::vector<double> late =
        legs ? std::vector{0.0, 0.5, 0.5} : std::vector{0.0, 1.0 / 3.0, 2.0 / 3.0};
    std::vector<double> parts = {between(random, 0.1, 1.0), between(random, 0.1, 1.0),
                                 between(random, 0.1, 1.0)};
    const double sum = parts[0] + parts[1] + parts[2];
    for (double& p : parts) p /= sum;
    const auto lights = lights_on(alike(light, on), shares_of(parts));
    const Shot drawn{{25, 1}, between(random, 5e-4, 8e-3), between(random, 0.002, 0.02), 40};
    const auto one = as_function(light);
    const brute_force::Waveform seen = [&](double t_s) {
      double value = 0.0;
      for (std::size_t j = 0; j < 3; ++j) value += parts[j] * one(t_s - late[j] / mains_hz);
      return value;
    };
    const double rendered = brute_force::worst_banding(
        seen, as_camera(drawn), brute_force::starts_over(1.0 / mains_hz, 200),
        pieces_for(light, drawn.exposure_s));
    const double predicted = predict(lights, drawn, options).nominal.band_percent;
    INFO("case " << i);
    CHECK(100.0 * rendered <= predicted * (1.0 + 1e-5) + 1e-4);
    CHECK(predicted - 100.0 * rendered <= std::max(0.02 * predicted, 0.03));
  }
}

TEST_CASE("one kind of light is all the light there is, however its shares add up") {
  const Room room = alike(mains_ripple(50.0, 0.4), std::vector(7, Conductor::l1));
  const auto lights = lights_on(room, shares_of(std::vector(7, 0.1)));
  REQUIRE(lights.size() == 1);
  CHECK(lights[0].share == 1.0);
  CHECK_FALSE(test::has_finding(predict(lights, shot, {}).findings, "lone_share"));
}

TEST_CASE("the words of conductors") {
  CHECK(conductor_of("l2") == Conductor::l2);
  CHECK(conductor_of("B") == Conductor::b);
  CHECK_FALSE(conductor_of("L4"));
  CHECK_FALSE(conductor_of(""));
  for (const Conductor c :
       {Conductor::l1, Conductor::l2, Conductor::l3, Conductor::a, Conductor::b}) {
    CHECK(conductor_of(conductor_words(c)) == c);
  }
}
