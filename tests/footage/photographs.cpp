// One photograph: bands among the things of a scene, and scenes without any.

#include "footage/waves/contrasts.hpp"
#include "lampbeat/banding.hpp"
#include "lampbeat/footage.hpp"
#include "support/catch.hpp"
#include "support/coverage.hpp"
#include "support/draws.hpp"
#include "support/findings.hpp"
#include "support/photograph.hpp"

using namespace lampbeat;
using namespace lampbeat::test;

namespace {

FootageResult seen_in(const PhotographedScene& scene, FootageSettings settings = {}) {
  settings.transfer = scene.transfer;
  Photograph photograph(scene);
  return measure_footage(photograph, nullptr, settings);
}

/// As the light makes them, for the least favourable start.
double true_percent(const PhotographedScene& scene) {
  const LightShare alone[] = {{scene.light, 1.0}};
  return 100.0 * band_contrast(alone, {{1, 1}, scene.exposure_s, scene.readout_s, scene.height});
}

}  // namespace

TEST_CASE("a photograph of any scene is never called ruined where its light is steady") {
  std::mt19937 random(11);
  int judged = 0;
  int measured = 0;
  const int all = draws(300);
  for (int i = 0; i < all; ++i) {
    const FootageResult result = seen_in(any_scene(random));
    judged += result.verdict ? 1 : 0;
    measured += result.band_percent ? 1 : 0;
    CHECK_FALSE(result.readout_s);
  }
  CHECK(judged == 0);
  CHECK(measured <= 1 + all / 100);
}

TEST_CASE("bands in any scene are measured within their ±, or the limit stays above them") {
  std::mt19937 random(12);
  int measured = 0;
  int outside = 0;
  Coverage depth, readout;
  const int all = draws(200);
  for (int i = 0; i < all; ++i) {
    PhotographedScene scene = any_scene(random);
    scene.blind_width = 0.0;
    const double hz = i % 2 == 0 ? 100.0 : 120.0;
    scene.light = ripple(hz, between(random, 0.3, 0.85), 0.05);
    scene.readout_s = between(random, 1.35, 6.0) / hz;
    scene.taken_s = between(random, 0.0, 0.01);
    FootageSettings settings;
    settings.light_hz = hz;
    const FootageResult result = seen_in(scene, settings);
    const double truth = true_percent(scene);
    CAPTURE(i, scene.seed, truth, scene.readout_s * hz);
    if (!result.band_percent) {
      if (result.smallest_seen_percent) CHECK(*result.smallest_seen_percent > truth);
      CHECK(result.verdict != Verdict::clean);
      continue;
    }
    ++measured;
    const bool off = std::abs(*result.band_percent - truth) > 3.0 * *result.band_percent_sd ||
                     std::abs(*result.readout_s - scene.readout_s) > 3.0 * *result.readout_s_sd;
    outside += off ? 1 : 0;
    depth.take(*result.band_percent - truth, *result.band_percent_sd);
    readout.take(*result.readout_s - scene.readout_s, *result.readout_s_sd);
  }
  CHECK(depth.stated_over_actual() < 6.0);
  CHECK(readout.stated_over_actual() < 5.0);
  CHECK(measured > all / 3);
  CHECK(outside <= 1 + measured / 30);
}

TEST_CASE("about one band over a bare, shaded room is not timed as two") {
  std::mt19937 random(14);
  int measured = 0;
  int outside = 0;
  Coverage depth, readout;
  const int all = draws(200);
  for (int i = 0; i < all; ++i) {
    PhotographedScene scene = any_scene(random);
    scene.blind_width = 0.0;
    scene.texture = between(random, 0.0, 0.05);
    scene.things = static_cast<int>(between(random, 0.0, 4.0));
    scene.horizon = 0.0;
    scene.light = ripple(100.0, between(random, 0.3, 0.85), 0.05);
    scene.readout_s = between(random, 0.8, 2.0) / 100.0;
    scene.taken_s = between(random, 0.0, 0.01);
    FootageSettings settings;
    settings.light_hz = 100.0;
    const FootageResult result = seen_in(scene, settings);
    if (!result.readout_s) continue;
    ++measured;
    const double truth = true_percent(scene);
    const bool off = std::abs(*result.band_percent - truth) > 3.0 * *result.band_percent_sd ||
                     std::abs(*result.readout_s - scene.readout_s) > 3.0 * *result.readout_s_sd;
    outside += off ? 1 : 0;
    depth.take(*result.band_percent - truth, *result.band_percent_sd);
    readout.take(*result.readout_s - scene.readout_s, *result.readout_s_sd);
  }
  CHECK(depth.stated_over_actual() < 4.0);
  CHECK(readout.stated_over_actual() < 4.0);
  CHECK(measured > all / 10);
  CHECK(outside <= 1 + measured / 50);
}

TEST_CASE("one and a half deep bands over a furnished room are found") {
  PhotographedScene scene;
  scene.light = ripple(100.0, 0.75, 0.05);
  scene.readout_s = 0.0145;
  scene.things = 12;
  scene.horizon = 0.4;
  scene.seed = GENERATE(1U, 4U, 7U);
  const FootageResult result = seen_in(scene);
  REQUIRE(result.band_percent);
  CHECK(*result.band_percent == Approx(true_percent(scene)).margin(15.0));
  CHECK(*result.bands_per_frame == Approx(1.45).margin(0.2));
}

TEST_CASE("an exposure of whole cycles of the given light gives neither depth nor readout") {
  PhotographedScene scene;
  scene.blind_width = 0.98;
  scene.slats = 4;
  FootageSettings settings;
  settings.light_hz = 120.0;
  settings.exposure_s = 1.0 / 60.0;
  const FootageResult result = seen_in(scene, settings);
  CHECK_FALSE(result.band_percent);
  CHECK_FALSE(result.readout_s);
  CHECK_FALSE(result.verdict);
  CHECK(warns(result, "exposure_cannot_band"));
}

TEST_CASE("no bands found is no depth and no verdict, on a plain wall either") {
  PhotographedScene scene;
  scene.texture = 0.0;
  FootageSettings settings;
  settings.plain_wall = GENERATE(true, false);
  const FootageResult result = seen_in(scene, settings);
  CHECK_FALSE(result.band_percent);
  CHECK_FALSE(result.verdict);
  REQUIRE(result.smallest_seen_percent);
  CHECK(*result.smallest_seen_percent < 2.0);
}
