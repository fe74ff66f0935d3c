#include <algorithm>
#include <cmath>
#include <numbers>
#include <random>
#include <vector>

#include "lampbeat/filming.hpp"
#include "lampbeat/rating.hpp"
#include "lampbeat/typical.hpp"
#include "reasoning/judge/room.hpp"
#include "reasoning/predict_lights.hpp"
#include "support/catch.hpp"

using namespace lampbeat;
using lampbeat::test::between;
using lampbeat::test::draws;
using lampbeat::test::logarithmic;
using predict_lights::free_ripple;
using predict_lights::locked_series;
using predict_lights::mains_ripple;

namespace {

constexpr std::optional<double> nobody_knows;

/// Judged one by one, at so many exposures in every stop.
double stops_one_by_one(const Light& light, std::optional<double> readout_s, FrameRate fps,
                        double a_stop) {
  const LightShare alone{light, 1.0};
  const reasoning::judge::Judge judge = reasoning::judge::judge_of(
      reasoning::judge::room_of({&alone, 1}, {}), readout_s, Shot{}.rows);
  const double to_s = std::min(longest_filmed_s, fps.frame_s());
  const double stops = std::log2(to_s / shortest_filmed_s);
  const int count = static_cast<int>(stops * a_stop);
  int clean = 0;
  for (int i = 0; i < count; ++i) {
    const double exposure_s = shortest_filmed_s * std::exp2(stops * (i + 0.5) / count);
    if (judge.clean(exposure_s, fps)) ++clean;
  }
  return stops * clean / count;
}

double rated_stops(const Light& light, std::optional<double> readout_s, FrameRate fps) {
  const std::vector<FrameRate> only = {fps};
  return rate_for_filming(light, readout_s, {}, only).clean_stops;
}

FixtureRating fixture(const char* name, const Light& light) {
  FixtureRating rating = rate_light(light, nobody_knows, {});
  rating.fixture = name;
  return rating;
}

Light chopped(double hz, double duty, double depth) {
  Light light;
  for (int k = 1; k <= 40; ++k) {
    // A pulse train's cosine series, 2 sin(πkd) / (πkd) (any handbook of Fourier series).
    const double turn = std::numbers::pi * k * duty;
    const double amplitude = 2.0 * std::sin(turn) / turn;
    light.components.push_back(
        {hz * k, depth * std::abs(amplitude), amplitude < 0.0 ? std::numbers::pi : 0.0, {}});
  }
  return light;
}

}  // namespace

TEST_CASE("clean stops are those of the exposures judged one by one, and never more") {
  std::mt19937 random(811);
  const auto& rates = filmed_frame_rates();
  for (int i = 0; i < draws(60); ++i) {
    const bool locked = i % 3 != 2;
    Light light = locked ? locked_series(random, i % 2 ? 50.0 : 60.0, 1 + i % 5)
                         : chopped(logarithmic(random, 200.0, 20000.0), between(random, 0.1, 0.9),
                                   between(random, 0.02, 1.0));
    if (locked) {
      const double depth = logarithmic(random, 0.01, 1.0);
      for (LightComponent& c : light.components) c.amplitude *= depth;
    }
    // Beside it, now and then, a weak rhythm of somebody else's.
    const bool two = i % 5 == 4;
    if (two) {
      light.components.push_back(
          {logarithmic(random, 60.0, 3000.0), logarithmic(random, 0.001, 0.02), 1.0, {}});
    }
    const std::optional<double> readouts[] = {nobody_knows, nobody_knows, 0.008, 0.002, 0.0};
    const std::optional<double> readout_s = readouts[static_cast<int>(between(random, 0.0, 4.999))];
    const FrameRate fps = rates[static_cast<std::size_t>(i * 5 % 8)];
    const double rated = rated_stops(light, readout_s, fps);
    constexpr double a_stop = 1000.0;
    const double judged = stops_one_by_one(light, readout_s, fps, a_stop);
    INFO(i << ": " << light.components[0].hz << " Hz " << light.components[0].amplitude
           << (two ? " and another" : "") << ", readout " << readout_s.value_or(-1.0) << ", "
           << fps.per_s() << " fps; rated " << rated << ", judged " << judged);
    // Each edge of a clean valley lies somewhere between two of the exposures judged.
    constexpr double valleys = 12.0;
    const double resolved = locked ? std::sqrt(valleys) / a_stop : 2.0 / a_stop;
    CHECK(rated <= judged + resolved);
    // Where a clock wanders over lobes only bounds speak; those of pulsing are the coarsest.
    const bool wanders = !locked || two;
    const double share = readout_s == 0.0 ? 0.5 : 0.85;
    CHECK(rated >= (wanders ? share * judged - 0.12 : 0.97 * judged - resolved));
  }
}

TEST_CASE("a shallow lamp and a deep one are not the same") {
  for (const double mains_hz : {50.0, 60.0}) {
    const FilmingRating shallow = rate_for_filming(mains_ripple(mains_hz, 0.005), nobody_knows, {});
    const FilmingRating deep = rate_for_filming(mains_ripple(mains_hz, 0.95), nobody_knows, {});
    CHECK(shallow.filming <= FilmingClass::ordinary_shutters);
    CHECK(deep.filming >= FilmingClass::matched_shutters_only);
    CHECK(shallow.clean_stops > deep.clean_stops + 0.5);
  }
}

TEST_CASE("a deep free-running dimmer does not outrank a lamp that a matched shutter cures") {
  // Steady mains, and the clock of a dimmer: what a matched shutter can and cannot do.
  for (const double hz : {300.0, 481.3, 1000.0, 1700.0}) {
    const auto ranked = rank_fixtures(
        {fixture("dimmer", free_ripple(hz, 0.95)), fixture("lamp", mains_ripple(50.0, 0.44))});
    INFO(hz << " Hz: " << filming_words(ranked[1].filming.filming));
    CHECK(ranked.front().fixture == "lamp");
  }
}

TEST_CASE("more light left over never makes a light cleaner") {
  std::mt19937 random(92);
  for (int i = 0; i < draws(20); ++i) {
    Light light = locked_series(random, i % 2 ? 50.0 : 60.0, 3);
    double before = 100.0;
    FilmingClass class_before = FilmingClass::any_shutter;
    for (const double scale : {0.003, 0.01, 0.03, 0.1, 0.3, 1.0}) {
      Light scaled = light;
      for (LightComponent& c : scaled.components) c.amplitude *= scale;
      const FilmingRating rating = rate_for_filming(scaled, nobody_knows, {});
      INFO(i << " x " << scale);
      CHECK(rating.clean_stops <= before + 0.01);
      CHECK(rating.filming >= class_before);
      before = rating.clean_stops;
      class_before = rating.filming;
    }
  }
}

TEST_CASE("clean stops are the least over the frame rates, and cover what is clean everywhere") {
  std::mt19937 random(17);
  for (int i = 0; i < draws(20); ++i) {
    const Light light =
        i % 2 ? mains_ripple(60.0, logarithmic(random, 0.005, 0.9))
              : free_ripple(logarithmic(random, 1000.0, 20000.0), logarithmic(random, 0.01, 0.9));
    const FilmingRating rating = rate_for_filming(light, nobody_knows, {});
    double least = 100.0;
    for (const FrameRate fps : filmed_frame_rates())
      least = std::min(least, rated_stops(light, nobody_knows, fps));
    INFO(i << ": " << light.components[0].hz << " Hz " << light.components[0].amplitude);
    CHECK(rating.clean_stops == Approx(least).margin(1e-9));
    if (!rating.shortest_clean_exposure_s) continue;
    const double from_s = std::max(*rating.shortest_clean_exposure_s, shortest_filmed_s);
    constexpr double edges = 0.02;
    CHECK(rating.clean_stops >= std::log2((1.0 / 60.0) / from_s) - edges);
  }
}

TEST_CASE("a light is classed at the rates asked for") {
  // Whole cycles of a 50 Hz lamp fit 50 frames a second, and at 30 hardly anything does.
  const Light lamp = mains_ripple(50.0, 0.5);
  const std::vector<FrameRate> fitting = {{50, 1}};
  const FilmingRating there = rate_for_filming(lamp, nobody_knows, {}, fitting);
  CHECK(there.clean_180 == fitting);
  CHECK(there.highest_clean_fps == 50.0);
  // Where no frame holds an ordinary exposure nobody can say that all of them are clean.
  const std::vector<FrameRate> fast = {{240, 1}};
  CHECK(rate_for_filming(mains_ripple(50.0, 0.03), nobody_knows, {}, fast).filming >=
        FilmingClass::matched_shutters_only);
  const std::vector<FrameRate> all = {{240, 1}, {25, 1}};
  CHECK(rate_for_filming(lamp, nobody_knows, {}, all).clean_stops == 0.0);
}
