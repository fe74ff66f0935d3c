// Filmed scenes rendered by brute force (tests/support/clip_renderer.hpp), measured, and compared
// with closed forms of the camera model: a rhythm of f hertz makes f · readout bands, rolls at
// f − fps · round(f / fps), and keeps sin(πfT)/(πfT) of its depth through an exposure T (standard
// sampling theory).

#include <cmath>
#include <numbers>
#include <sstream>
#include <string>

#include "lampbeat/banding.hpp"
#include "lampbeat/footage.hpp"
#include "lampbeat/prediction.hpp"
#include "support/catch.hpp"
#include "support/clip_renderer.hpp"
#include "support/coverage.hpp"
#include "support/findings.hpp"

using namespace lampbeat;
using namespace lampbeat::test;

namespace {

FootageResult measured(const FilmedScene& scene, FootageSettings settings = {}) {
  settings.transfer = scene.transfer;
  FilmedClip clip(scene);
  return measure_footage(clip, nullptr, settings);
}

constexpr double bands_floor = 0.0015;  ///< what rounding and compression leave, of their number

double roll_of(double hz, double fps) { return hz - fps * std::floor(hz / fps + 0.5); }

/// The depth is what predict promises: within the uncertainty stated, and within two of the 0.7 %
/// that rounding and compression are said to leave.
void check_depth(const FootageResult& result, double promised_percent, double within = 0.014) {
  REQUIRE(result.band_percent);
  REQUIRE(result.band_percent_sd);
  const double off = std::abs(*result.band_percent - promised_percent);
  CHECK(off <= 3.0 * *result.band_percent_sd);
  CHECK(off <= within * promised_percent);
}

/// The bars this project sets itself: depth as predict promises it within three of its ±, which are
/// hardly more than what rounding and compression leave; bands 2 %, roll 0.05 Hz, readout 2 %.
void check_against_truth(const FilmedScene& scene) {
  FootageSettings settings;
  const double hz = scene.light.components.front().hz;
  settings.light_hz = hz;
  const FootageResult result = measured(scene, settings);
  for (const Finding& f : result.warnings) UNSCOPED_INFO(f.message);
  const LightShare alone[] = {{scene.light, 1.0}};
  const Shot shot{scene.fps, scene.exposure_s, scene.readout_s, scene.height};
  const Recorded promised = predict(alone, shot, {}).nominal;
  check_depth(result, promised.band_percent);
  const double bands = hz * scene.readout_s;
  CHECK(std::abs(*result.bands_per_frame - bands) <= 3.0 * *result.bands_per_frame_sd);
  CHECK(*result.bands_per_frame == Approx(bands).epsilon(0.01));
  CHECK(*result.roll_hz == Approx(roll_of(hz, scene.fps.per_s())).margin(0.05));
  CHECK(*result.pulse_percent == Approx(promised.pulse_percent).epsilon(0.03).margin(0.05));
  REQUIRE(result.readout_s);
  CHECK(*result.readout_s == Approx(scene.readout_s).epsilon(0.01));
  CHECK(result.verdict.has_value());
}

FilmedScene kitchen() {
  FilmedScene scene;
  scene.light = ripple(100.0, 0.2, 0.05);
  scene.fps = {30, 1};
  return scene;
}

FilmedScene busy_kitchen() {
  FilmedScene scene = kitchen();
  scene.texture = 0.1;
  scene.gradient = 0.5;
  scene.noise = 0.03;
  scene.foreground = true;
  scene.exposure_drift = 0.15;
  return scene;
}

}  // namespace

TEST_CASE(
    "running bands are measured at every customary frame rate, on a plain wall and in a busy "
    "kitchen") {
  FilmedScene scene = GENERATE(kitchen(), busy_kitchen());
  scene.fps = GENERATE(FrameRate{24000, 1001}, FrameRate{30000, 1001}, FrameRate{60000, 1001});
  CAPTURE(scene.fps.per_s(), scene.foreground);
  check_against_truth(scene);
}

TEST_CASE("texture, shading, people, noise and the exposure automatic do not disturb, one by one") {
  FilmedScene scene = kitchen();
  SECTION("texture and shading") {
    scene.texture = 0.1;
    scene.gradient = 0.5;
  }
  SECTION("people") { scene.foreground = true; }
  SECTION("noise") { scene.noise = 0.05; }
  SECTION("exposure automatic") { scene.exposure_drift = 0.3; }
  SECTION("ten bits, full range") {
    scene.bits = 10;
    scene.full_range = true;
  }
  SECTION("hybrid log-gamma") { scene.transfer.kind = Transfer::hlg; }
  SECTION("fewer bands than one") { scene.readout_s = 0.005; }
  SECTION("fewer bands than one, exposure automatic") {
    scene.readout_s = 0.005;
    scene.exposure_drift = 0.15;
  }
  SECTION("rows at two phases only: 100 Hz at 40 frames a second") { scene.fps = {40, 1}; }
  SECTION("slow motion") {
    scene.fps = {240, 1};
    scene.exposure_s = 1.0 / 480.0;
    scene.readout_s = 0.004;
    scene.seconds = 1.0;
  }
  check_against_truth(scene);
}

TEST_CASE("60 Hz mains at 29.97 frames a second rolls by a third of a cycle in three seconds") {
  FilmedScene scene = kitchen();
  scene.light = ripple(120.0, 0.2, 0.05);
  scene.fps = {30000, 1001};
  SECTION("plain") { scene.seconds = 3.0; }
  SECTION("busy") {
    scene = busy_kitchen();
    scene.light = ripple(120.0, 0.2, 0.05);
    scene.fps = {30000, 1001};
    scene.seconds = 6.0;
  }
  check_against_truth(scene);
}

TEST_CASE("a global shutter pulses and has no bands") {
  FilmedScene scene = kitchen();
  scene.readout_s = 0.0;
  scene.exposure_drift = GENERATE(0.0, 0.1);
  FootageSettings settings;
  settings.light_hz = 100.0;
  const FootageResult result = measured(scene, settings);
  const LightShare alone[] = {{scene.light, 1.0}};
  const Recorded promised =
      predict(alone, {scene.fps, scene.exposure_s, 0.0, scene.height}, {}).nominal;
  REQUIRE(result.pulse_percent);
  CHECK(*result.pulse_percent == Approx(promised.pulse_percent).epsilon(0.04));
  CHECK(*result.band_percent < 0.5);
  CHECK(*result.roll_hz == Approx(10.0).margin(0.05));
  CHECK_FALSE(result.readout_s);
  CHECK(warns(result, "no_bands_to_time"));
}

TEST_CASE("two unrelated rhythms are told apart") {
  FilmedScene scene = kitchen();
  scene.light.components.push_back({733.0, 0.15, 0.0, {}});
  scene.exposure_s = 1.0 / 1000.0;
  scene.noise = 0.02;
  FootageSettings settings;
  settings.readout_s = 0.016;
  settings.exposure_s = scene.exposure_s;
  const FootageResult result = measured(scene, settings);
  REQUIRE(result.light);
  bool dimmer = false;
  for (const LightComponent& c : result.light->components) {
    if (std::abs(c.hz - 733.0) < 0.1) {
      dimmer = true;
      CHECK(c.amplitude == Approx(0.15).epsilon(0.03));
      CHECK_FALSE(c.mains_order);
    }
  }
  CHECK(dimmer);
}

TEST_CASE("with the readout known the light's frequency is found among all it could be") {
  FilmedScene scene = busy_kitchen();
  const double hz = GENERATE(100.0, 120.0, 433.0);
  scene.light.components = {{hz, 0.25, 0.3, {}}};
  scene.exposure_s = 1.0 / 1000.0;
  scene.fps = {25000, 1001};
  CAPTURE(hz);
  FootageSettings settings;
  settings.readout_s = scene.readout_s;
  const FootageResult result = measured(scene, settings);
  REQUIRE_FALSE(result.lights.empty());
  CHECK(result.lights.front().plausible);
  CHECK(result.lights.front().hz == Approx(hz).margin(0.05));
  for (const LightCandidate& c : result.lights) {
    // Every candidate rolls alike.
    const double off = (c.hz - hz) / scene.fps.per_s();
    CHECK(off == Approx(std::round(off)).margin(0.01));
  }
}

TEST_CASE("the light is recovered through a known shutter: amplitude and phase of each component") {
  FilmedScene scene = kitchen();
  scene.noise = 0.02;
  scene.fps = {30000, 1001};
  FootageSettings settings;
  settings.light_hz = 100.0;
  settings.exposure_s = scene.exposure_s;
  const FootageResult result = measured(scene, settings);
  REQUIRE(result.light);
  REQUIRE(result.light->components.size() >= 2);
  CHECK(*result.light->mains_hz == Approx(50.0).margin(0.01));
  for (std::size_t i = 0; i < 2; ++i) {
    const LightComponent& truth = scene.light.components[i];
    const LightComponent& seen = result.light->components[i];
    CHECK(seen.hz == Approx(truth.hz).margin(0.05));
    CHECK(seen.amplitude == Approx(truth.amplitude).epsilon(0.05));
    CHECK(std::abs(std::remainder(seen.phase_rad - truth.phase_rad, 2.0 * std::numbers::pi)) < 0.1);
    CHECK(*seen.mains_order == *truth.mains_order);
  }
}

TEST_CASE("what the shutter nulls is named, not guessed") {
  FilmedScene scene = kitchen();
  scene.exposure_s = 1.0 / 200.0;  // one cycle of the second harmonic
  FootageSettings settings;
  settings.light_hz = 100.0;
  settings.exposure_s = scene.exposure_s;
  const FootageResult result = measured(scene, settings);
  REQUIRE(result.light);
  CHECK(warns(result, "hidden_by_exposure"));
  for (const LightComponent& c : result.light->components) CHECK(std::abs(c.hz - 200.0) > 1.0);
}

TEST_CASE("a frequency that cannot explain the roll gives no readout, and what can is named") {
  FootageSettings settings;
  settings.light_hz = 120.0;
  FilmedScene scene = kitchen();
  scene.fps = {24, 1};
  const FootageResult result = measured(scene, settings);
  CHECK_FALSE(result.readout_s);
  const Finding* why = finding(result, "light_does_not_explain_roll");
  REQUIRE(why);
  INFO(why->message);
  // 100 Hz rolls at 4 Hz at this rate, as does everything a multiple of 24 Hz beside it.
  const auto named = why->message.find("as would ");
  REQUIRE(named != std::string::npos);
  std::istringstream others(why->message.substr(named + 9));
  int count = 0;
  for (double hz = 0.0; others >> hz; ++count) {
    CHECK(std::remainder(hz - 100.0, 24.0) == Approx(0.0).margin(0.1));
    others.ignore(5, ',');
  }
  CHECK(count >= 1);
}

TEST_CASE("the light that spoilt the take is found among the room's lights") {
  FilmedScene scene = busy_kitchen();
  scene.fps = {24, 1};
  FootageSettings settings;
  settings.readout_s = scene.readout_s;
  settings.exposure_s = scene.exposure_s;
  Light dimmer;
  dimmer.name = "dimmed strip";
  dimmer.components = {{433.0, 0.6, 0.0, {}}};
  Light steady = ripple(100.0, 0.02);
  steady.name = "panel";
  Light guilty = scene.light;
  guilty.name = "ceiling tube";
  settings.suspects = {dimmer, steady, guilty};
  const FootageResult result = measured(scene, settings);
  REQUIRE(result.suspects.size() == 3);
  CHECK_FALSE(result.suspects[0].explains);
  CHECK_FALSE(result.suspects[1].explains);
  CHECK(result.suspects[2].explains);
}

TEST_CASE("nothing rolling is not the same as nothing there") {
  FilmedScene scene = busy_kitchen();
  SECTION("bands that stand still in a scene are not known") { scene.light = ripple(120.0, 0.2); }
  SECTION("neither is their absence, at a rate where mains-driven bands would stand") {
    scene.light.components.clear();
  }
  const FootageResult result = measured(scene);
  CHECK_FALSE(result.band_percent);
  CHECK_FALSE(result.verdict);
  CHECK(warns(result, "standing_bands_unknown"));
}

TEST_CASE("a steady light is clean where the light asked about would have rolled through") {
  FilmedScene scene = busy_kitchen();
  scene.noise = 0.02;
  scene.light.components.clear();
  scene.exposure_drift = 0.0;
  FootageSettings settings;
  SECTION("120 Hz at 25 frames a second rolls at 5 Hz") {
    scene.fps = {25, 1};
    settings.light_hz = 120.0;
    const FootageResult result = measured(scene, settings);
    CHECK(result.verdict == Verdict::clean);
    CHECK(result.nothing_seen);
    CHECK_FALSE(result.band_percent);
    REQUIRE(result.smallest_seen_percent);
    CHECK(*result.smallest_seen_percent < 0.3);
    CHECK(warns(result, "no_bands_seen"));
  }
  SECTION("the same light would stand at 24") {
    scene.fps = {24, 1};
    settings.light_hz = 120.0;
    const FootageResult result = measured(scene, settings);
    CHECK_FALSE(result.verdict);
    CHECK_FALSE(result.smallest_seen_percent);
  }
  SECTION("100 Hz would roll at 0.8 Hz, and stand while mains is 0.4 Hz low, as EN 50160 allows") {
    scene.fps = {124, 5};
    settings.light_hz = 100.0;
    const FootageResult result = measured(scene, settings);
    CHECK_FALSE(result.verdict);
    CHECK(warns(result, "standing_bands_unknown"));
  }
  SECTION("a light of unknown frequency may stand at any rate") {
    scene.fps = {23, 1};
    const FootageResult result = measured(scene, settings);
    CHECK_FALSE(result.verdict);
    CHECK(warns(result, "standing_bands_unknown"));
  }
}

TEST_CASE("faint bands under noise are still found") {
  FilmedScene scene = kitchen();
  scene.light = ripple(100.0, 0.005);
  scene.noise = 0.03;
  const FootageResult result = measured(scene);
  const LightShare alone[] = {{scene.light, 1.0}};
  const Recorded promised =
      predict(alone, {scene.fps, scene.exposure_s, scene.readout_s, scene.height}, {}).nominal;
  check_depth(result, promised.band_percent, 0.05);
}

TEST_CASE("the stated uncertainty covers the error") {
  Coverage bands;
  for (unsigned seed = 1; seed <= 24; ++seed) {
    FilmedScene scene = busy_kitchen();
    scene.seed = seed;
    scene.start_frame = 17 * seed;
    scene.seconds = 2.0;
    scene.width = 160;
    scene.height = 120;
    const FootageResult result = measured(scene);
    REQUIRE(result.bands_per_frame);
    bands.take(*result.bands_per_frame - 1.6, *result.bands_per_frame_sd, bands_floor * 1.6);
  }
  // Beside what rounding and compression may leave, which these clips do not have, the ± is still
  // seven times too wide.
  CHECK(bands.stated_over_actual() < 10.0);
  CHECK(bands.beyond(3.0) <= 1);
}

TEST_CASE("a clip of many stretches is measured like a short one") {
  FilmedScene scene = kitchen();
  scene.width = 64;
  scene.height = 48;
  scene.noise = 0.05;
  scene.seconds = 70.0;  // 2100 frames: three stretches
  const FootageResult result = measured(scene);
  CHECK(result.frames == 2100);
  REQUIRE(result.bands_per_frame);
  CHECK(*result.bands_per_frame == Approx(1.6).epsilon(0.02));
  CHECK(*result.roll_hz == Approx(10.0).margin(0.01));
}
