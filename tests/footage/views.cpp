// What a page shows of a clip: its first frame, the rows of it, the course.

#include <algorithm>
#include <cmath>
#include <numbers>

#include "lampbeat/footage.hpp"
#include "support/catch.hpp"
#include "support/clip_renderer.hpp"

using namespace lampbeat;
using namespace lampbeat::test;

namespace {

FilmedScene wall() {
  FilmedScene scene;
  scene.light = ripple(120.0, 0.3);
  scene.width = 640;
  scene.height = 120;
  scene.seconds = 3.0;
  scene.exposure_s = 1.0 / 1000.0;
  scene.noise = 0.01;
  scene.gradient = 0.4;
  return scene;
}

FootageResult seen(const FilmedScene& scene) {
  FilmedClip clip(scene);
  FootageSettings settings;
  settings.light_hz = 120.0;
  return measure_footage(clip, nullptr, settings);
}

}  // namespace

TEST_CASE("the rows of the first frame follow the light, shading divided out, and the fit them") {
  const FilmedScene scene = wall();
  const FootageResult f = seen(scene);
  REQUIRE(f.view.row_profile.size() == 120);
  REQUIRE(f.row_pattern.size() == 120);
  for (int row = 0; row < scene.height; ++row) {
    const auto r = static_cast<std::size_t>(row);
    CHECK(f.view.row_profile[r] == Approx(row_light(scene, 0.0, row)).margin(0.01));
    CHECK(1.0 + f.row_pattern[r] == Approx(row_light(scene, 0.0, row)).margin(0.01));
  }
}

TEST_CASE("dark bands are where the light of the rows is below its mean") {
  const FilmedScene scene = wall();
  const FootageResult f = seen(scene);
  REQUIRE_FALSE(f.view.dark_bands.empty());
  for (int row = 0; row < scene.height; ++row) {
    const double light = row_light(scene, 0.0, row);
    if (std::abs(light - 1.0) < 0.03) continue;
    const double place = (row + 0.5) / scene.height;
    const bool marked =
        std::any_of(f.view.dark_bands.begin(), f.view.dark_bands.end(),
                    [&](const RowSpan& band) { return place > band.from && place < band.to; });
    CHECK(marked == (light < 1.0));
  }
}

TEST_CASE("the picture is the first frame as it looks, made small") {
  FilmedScene scene = wall();
  scene.light.components.clear();
  scene.noise = 0.0;
  scene.gradient = 0.0;
  scene.seconds = 0.1;
  for (const bool full : {false, true}) {
    scene.full_range = full;
    const FootageResult f = seen(scene);
    CHECK(f.view.picture.width == 320);
    CHECK(f.view.picture.height == 60);
    REQUIRE(f.view.picture.grey.size() == 320 * 60);
    const double signal = 255.0 * encode(scene.transfer, scene.level);
    CHECK(std::abs(f.view.picture.grey[1000] - signal) <= 1.0);
    CHECK(f.view.dark_bands.empty());
  }
}

TEST_CASE("the course of a long clip has its stretches, each with its own depth") {
  FilmedScene scene = wall();
  scene.width = 64;
  scene.seconds = 60.0;
  const FootageResult f = seen(scene);
  REQUIRE(f.view.course.size() >= 2);
  CHECK(f.view.course.front().from_s == 0.0);
  CHECK(f.view.course.back().to_s == Approx(60.0));
  for (const ClipStretch& stretch : f.view.course) {
    REQUIRE(stretch.band_percent.has_value());
    CHECK(*stretch.band_percent == Approx(*f.band_percent).epsilon(0.05));
  }
  CHECK(f.view.frame_levels.size() == 120);
}
