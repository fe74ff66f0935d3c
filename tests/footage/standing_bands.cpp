// Bands that stand still: 120 Hz light at 30 frames a second, 100 Hz at 25.

#include <cmath>
#include <string>

#include "lampbeat/error.hpp"
#include "lampbeat/footage.hpp"
#include "lampbeat/prediction.hpp"
#include "support/catch.hpp"
#include "support/clip_renderer.hpp"
#include "support/findings.hpp"

using namespace lampbeat;
using namespace lampbeat::test;

namespace {

FilmedScene standing() {
  FilmedScene scene;
  scene.light = ripple(120.0, 0.2, 0.04);
  scene.fps = {30, 1};
  scene.noise = 0.02;
  scene.seconds = 2.0;
  return scene;
}

double promised_percent(const FilmedScene& scene) {
  const LightShare alone[] = {{scene.light, 1.0}};
  return predict(alone, {scene.fps, scene.exposure_s, scene.readout_s, scene.height}, {})
      .nominal.band_percent;
}

/// The depth is what predict promises: within the uncertainty stated, and within two of the 0.7 %
/// that rounding and compression are said to leave.
void check_depth(const FootageResult& result, double promised_percent, double within = 0.014) {
  REQUIRE(result.band_percent);
  REQUIRE(result.band_percent_sd);
  const double off = std::abs(*result.band_percent - promised_percent);
  CHECK(off <= 3.0 * *result.band_percent_sd);
  CHECK(off <= within * promised_percent);
}

}  // namespace

TEST_CASE("standing bands show against a reference at a safe shutter, whatever the scene") {
  FilmedScene scene = standing();
  scene.texture = 0.1;
  scene.gradient = 0.5;
  FilmedScene safe = scene;
  safe.exposure_s = 1.0 / 60.0;  // two whole cycles
  safe.seed = scene.seed;
  FilmedClip clip(scene);
  FilmedClip reference(safe);
  FootageSettings settings;
  settings.light_hz = 120.0;
  const FootageResult result = measure_footage(clip, &reference, settings);
  check_depth(result, promised_percent(scene));
  CHECK(*result.bands_per_frame == Approx(1.92).epsilon(0.01));
  CHECK(*result.roll_hz == Approx(0.0).margin(0.05));
  CHECK(*result.readout_s == Approx(0.016).epsilon(0.01));
}

TEST_CASE("standing bands show on a wall declared plain") {
  FilmedScene scene = standing();
  scene.gradient = 0.4;
  FilmedClip clip(scene);
  FootageSettings settings;
  settings.plain_wall = true;
  settings.light_hz = 120.0;
  const FootageResult result = measure_footage(clip, nullptr, settings);
  check_depth(result, promised_percent(scene));
  CHECK(*result.bands_per_frame == Approx(1.92).epsilon(0.01));
  CHECK(*result.readout_s == Approx(0.016).epsilon(0.01));
}

TEST_CASE("a steady light on an even wall is clean, and says how faint bands could have been") {
  FilmedScene scene = standing();
  scene.light.components.clear();
  scene.noise = 0.005;
  FilmedClip clip(scene);
  FootageSettings settings;
  settings.plain_wall = true;
  const FootageResult result = measure_footage(clip, nullptr, settings);
  CHECK_FALSE(result.band_percent);
  REQUIRE(result.smallest_seen_percent);
  CHECK(*result.smallest_seen_percent < 0.5);
  CHECK(warns(result, "no_bands_seen"));
  CHECK(result.verdict == Verdict::clean);
}

TEST_CASE("shading down a wall could be a piece of a band, so it is not known") {
  // 8 ms at 30 frames a second and 5 ms at 59.94 under 60 Hz mains: less than one standing band.
  const bool plain_wall = GENERATE(true, false);
  FilmedScene scene = standing();
  scene.seconds = 3.0;
  SECTION("shading") {
    scene.light.components.clear();
    scene.gradient = 0.4;
  }
  SECTION("nearly one standing band") {
    scene.light = ripple(120.0, 0.8, 0.1);
    scene.readout_s = 0.008;
  }
  SECTION("half a band that hardly moves") {
    scene.light = ripple(120.0, 0.4, 0.05);
    scene.readout_s = 0.005;
    scene.fps = {60000, 1001};
  }
  FilmedClip clip(scene);
  FootageSettings settings;
  settings.plain_wall = plain_wall;
  const FootageResult result = measure_footage(clip, nullptr, settings);
  CHECK_FALSE(result.band_percent);
  CHECK_FALSE(result.verdict);
  CHECK_FALSE(result.readout_s);
  CHECK((warns(result, "shading_or_bands") || warns(result, "roll_too_slow") ||
         warns(result, "standing_bands_unknown")));
}

TEST_CASE("one photograph of a wall gives the bands") {
  FilmedScene scene = standing();
  scene.seconds = 1.0 / 30.0;
  scene.exposure_s = 1.0 / 1000.0;
  FilmedClip filmed(scene);
  struct Photograph final : ClipSource {
    explicit Photograph(FilmedClip& from) : clip(from), about(from.format()) {
      about.still = true;
      about.fps.reset();
    }
    const ClipFormat& format() const override { return about; }
    const std::vector<std::uint16_t>* next() override { return clip.next(); }
    FilmedClip& clip;
    ClipFormat about;
  } photograph(filmed);
  FootageSettings settings;
  settings.light_hz = 120.0;
  const FootageResult result = measure_footage(photograph, nullptr, settings);
  REQUIRE(result.bands_per_frame);
  CHECK(*result.bands_per_frame == Approx(1.92).epsilon(0.01));
  check_depth(result, promised_percent(scene));
  CHECK(*result.readout_s == Approx(0.016).epsilon(0.01));
  CHECK_FALSE(result.roll_hz);
  CHECK_FALSE(result.pulse_percent);
  CHECK(warns(result, "still_taken_for_a_wall"));
}

TEST_CASE("a reference of another size is refused") {
  FilmedScene scene = standing();
  FilmedScene other = scene;
  other.height = 200;
  FilmedClip clip(scene);
  FilmedClip reference(other);
  CHECK_THROWS_AS(measure_footage(clip, &reference, {}), InputError);
}

TEST_CASE("a clip of a few frames, a black one and a burnt-out one give no figure") {
  FilmedScene scene = standing();
  SECTION("few frames") { scene.seconds = 0.1; }
  SECTION("black") { scene.level = 0.0; }
  SECTION("burnt out") { scene.level = 5.0; }
  FilmedClip clip(scene);
  const FootageResult result = measure_footage(clip, nullptr, {});
  CHECK_FALSE(result.band_percent);
  CHECK_FALSE(result.verdict);
  CHECK_FALSE(result.warnings.empty());
}

TEST_CASE("a clip without a frame rate needs one") {
  FilmedScene scene = standing();
  scene.fps = {30, 1};
  FilmedClip filmed(scene);
  struct Rateless final : ClipSource {
    explicit Rateless(FilmedClip& from) : clip(from), about(from.format()) { about.fps.reset(); }
    const ClipFormat& format() const override { return about; }
    const std::vector<std::uint16_t>* next() override { return clip.next(); }
    FilmedClip& clip;
    ClipFormat about;
  } rateless(filmed);
  CHECK_THROWS_AS(measure_footage(rateless, nullptr, {}), InputError);
}
