// Random clips rendered by brute force (tests/support/clip_renderer.hpp): what a clip is said to
// show is there, and what moves in front of the camera is no lamp. Truths are closed forms of the
// camera model (standard sampling theory) and the project's own prediction.

#include <algorithm>
#include <cmath>
#include <functional>
#include <optional>
#include <random>
#include <string>
#include <vector>

#include "lampbeat/footage.hpp"
#include "lampbeat/prediction.hpp"
#include "support/catch.hpp"
#include "support/clip_renderer.hpp"
#include "support/coverage.hpp"
#include "support/draws.hpp"
#include "support/findings.hpp"

using namespace lampbeat;
using namespace lampbeat::test;

namespace {

constexpr double covered = 3.3;
constexpr double depth_floor = 0.007;   ///< what rounding and compression leave, of the figure
constexpr double bands_floor = 0.0015;  ///< the same of the number of bands

struct RandomClip {
  FilmedScene scene;
  double hz = 100.0;
  FootageSettings settings;

  double roll() const { return hz - scene.fps.per_s() * std::round(hz / scene.fps.per_s()); }
  Recorded promised() const {
    const LightShare alone[] = {{scene.light, 1.0}};
    return predict(alone, {scene.fps, scene.exposure_s, scene.readout_s, scene.height}, {}).nominal;
  }
  FootageResult measured() const {
    FilmedClip clip(scene);
    return measure_footage(clip, nullptr, settings);
  }
};

RandomClip random_clip(Random& draw, unsigned seed) {
  RandomClip clip;
  FilmedScene& s = clip.scene;
  s.seed = seed;
  s.width = 96;
  s.height = 2 * static_cast<int>(between(draw, 80, 120));
  const FrameRate rates[] = {{24000, 1001}, {24, 1}, {25, 1}, {30000, 1001},
                             {30, 1},       {50, 1}, {60, 1}};
  s.fps = rates[static_cast<std::size_t>(between(draw, 0.0, 7.0))];
  s.readout_s = std::min(logarithmic(draw, 0.002, 0.03), 0.98 * s.fps.frame_s());
  const double nominal = often(draw, 0.5) ? 100.0 : 120.0;
  clip.hz = nominal + between(draw, -0.2, 0.2);
  s.exposure_s = std::min(logarithmic(draw, 1.0 / 2000.0, 0.01), 0.99 * s.fps.frame_s());
  const double depth = logarithmic(draw, 0.02, 0.8);
  s.light = ripple(clip.hz, depth, often(draw, 0.5) ? 0.2 * depth : 0.0);
  s.seconds = between(draw, 1.0, 4.0);
  s.noise = between(draw, 0.002, 0.04);
  s.start_frame = static_cast<std::uint64_t>(between(draw, 0.0, 5000.0));
  if (often(draw, 0.5)) s.gradient = between(draw, 0.0, 0.6);
  if (often(draw, 0.4)) s.texture = between(draw, 0.0, 0.15);
  if (often(draw, 0.3)) s.exposure_drift = between(draw, 0.0, 0.2);
  if (often(draw, 0.7)) clip.settings.light_hz = nominal;
  return clip;
}

void move_the_camera(FilmedScene& s, Random& draw) {
  const double speed = logarithmic(draw, 0.02, 0.6) * (often(draw, 0.5) ? 1.0 : -1.0);
  switch (static_cast<int>(between(draw, 0.0, 5.0))) {
    case 0:
      s.pan_per_s = speed;
      break;
    case 1:
      s.tilt_per_s = speed;
      break;
    case 2:
      s.zoom_per_s = 0.5 * std::abs(speed);
      break;
    case 3:
      s.shake = between(draw, 0.003, 0.05);
      s.shake_hz = logarithmic(draw, 0.3, 8.0);
      break;
    default:
      s.pan_per_s = speed;
      s.tilt_per_s = speed * between(draw, -1.0, 1.0);
  }
}

bool off(const std::optional<double>& seen, const std::optional<double>& sd, double truth) {
  return seen && sd && std::abs(*seen - truth) > covered * *sd;
}

bool alarms(const FootageResult& r) {
  return r.verdict == Verdict::visible || r.verdict == Verdict::strong;
}

/// When frames were taken, in delivered periods.
std::vector<double> every(int count, const std::function<double(int)>& taken, double period_s) {
  std::vector<double> times;
  for (int n = 0; n < count; ++n) times.push_back(taken(n) * period_s);
  return times;
}

FilmedScene clear_bands(FrameRate fps) {
  FilmedScene scene;
  scene.light = ripple(100.0, 0.3, 0.05);
  scene.fps = fps;
  scene.width = 96;
  scene.height = 180;
  scene.noise = 0.01;
  return scene;
}

FootageResult measured(const FilmedScene& scene) {
  FilmedClip clip(scene);
  FootageSettings settings;
  settings.light_hz = 100.0;
  return measure_footage(clip, nullptr, settings);
}

}  // namespace

TEST_CASE(
    "what is said of random bands is true within its uncertainty, and never clean when seen") {
  const int count = draws(120);
  int clear = 0;
  int found = 0;
  int wrong = 0;
  Coverage depth, readout, bands;
  for (int i = 0; i < count; ++i) {
    Random draw(static_cast<unsigned>(i) + 100);
    const RandomClip clip = random_clip(draw, static_cast<unsigned>(i) + 1);
    const FootageResult r = clip.measured();
    const Recorded truth = clip.promised();
    CAPTURE(i, clip.scene.fps.per_s(), clip.hz, clip.scene.readout_s, truth.band_percent);
    if (r.verdict == Verdict::clean) CHECK(truth.visibility <= 2.0);
    const bool first_order =
        r.bands_per_frame && *r.bands_per_frame < 1.5 * clip.hz * clip.scene.readout_s;
    wrong += off(r.band_percent, r.band_percent_sd, truth.band_percent) ||
                     off(r.readout_s, r.readout_s_sd, clip.scene.readout_s) ||
                     (first_order &&
                      off(r.bands_per_frame, r.bands_per_frame_sd, clip.hz * clip.scene.readout_s))
                 ? 1
                 : 0;
    if (r.band_percent) {
      depth.take(*r.band_percent - truth.band_percent, *r.band_percent_sd,
                 depth_floor * *r.band_percent);
    }
    if (r.readout_s) {
      readout.take(*r.readout_s - clip.scene.readout_s, *r.readout_s_sd,
                   bands_floor * *r.readout_s);
    }
    if (first_order) {
      bands.take(*r.bands_per_frame - clip.hz * clip.scene.readout_s, *r.bands_per_frame_sd,
                 bands_floor * *r.bands_per_frame);
    }
    if (std::abs(clip.roll()) * clip.scene.seconds < 1.0 || truth.band_percent < 3.0) continue;
    ++clear;
    found += r.band_percent ? 1 : 0;
  }
  // Beside what rounding and compression may leave, the middle draw's depth is stated 17 times as
  // wide as it errs and its bands 12.5 times (all draws): the terms for few bands reckon with
  // people and exposure automatics, which these clips do not hold. Wider they must not become.
  CHECK(depth.stated_over_actual() < 20.0);
  CHECK(readout.stated_over_actual() < 10.0);
  CHECK(bands.stated_over_actual() < 15.0);
  CHECK(wrong <= std::max(1, count / 50));
  CHECK(found >= 0.95 * clear - 1.0);
}

TEST_CASE("a pan, a tilt, a zoom or a shaking hand is no lamp") {
  const int count = draws(100);
  int alarmed = 0;
  for (int i = 0; i < count; ++i) {
    Random draw(static_cast<unsigned>(i) + 9000);
    RandomClip clip = random_clip(draw, static_cast<unsigned>(i) + 1);
    clip.scene.light.components.clear();
    if (often(draw, 0.8)) move_the_camera(clip.scene, draw);
    clip.scene.foreground = often(draw, 0.2);
    alarmed += alarms(clip.measured()) ? 1 : 0;
  }
  CHECK(alarmed <= count * 5 / 1000);
}

TEST_CASE("a tilt past wide things is no lamp, however little of a turn it makes") {
  const int count = draws(100);
  int alarmed = 0;
  for (int i = 0; i < count; ++i) {
    Random draw(static_cast<unsigned>(i) + 31000);
    RandomClip clip = random_clip(draw, static_cast<unsigned>(i) + 1);
    clip.scene.light.components.clear();
    clip.scene.sparse = true;
    clip.scene.width = 48;
    clip.scene.seconds = between(draw, 1.0, 2.5);
    clip.scene.tilt_per_s =
        between(draw, 0.1, 1.6) / clip.scene.seconds * (often(draw, 0.5) ? 1.0 : -1.0);
    alarmed += alarms(clip.measured()) ? 1 : 0;
  }
  CHECK(alarmed <= std::max(1, count / 100));
}

TEST_CASE("a level tilt past shelves and a pan along a wall are not said to be mains light") {
  FilmedScene scene = clear_bands({25, 1});
  scene.light.components.clear();
  scene.seconds = 4.0;
  scene.seed = 11;
  SECTION("tilt") { scene.tilt_per_s = 0.3; }
  SECTION("pan") { scene.pan_per_s = 0.3; }
  const FootageResult result = measured(scene);
  CHECK_FALSE(result.band_percent);
  CHECK_FALSE(alarms(result));
  CHECK(result.lights.empty());
}

TEST_CASE("frames shown twice to reach a higher rate are found, and the true rate is used") {
  struct Conversion {
    FrameRate delivered;
    FrameRate taken;
    int beat;  // of so many delivered frames the last repeats
  };
  const Conversion c = GENERATE(Conversion{{60, 1}, {30, 1}, 2}, Conversion{{30, 1}, {25, 1}, 6},
                                Conversion{{30, 1}, {24, 1}, 5});
  FilmedScene scene = clear_bands(c.delivered);
  scene.frame_times_s = every(
      static_cast<int>(3.0 * c.delivered.per_s()),
      [&](int n) { return n - n / c.beat - (n % c.beat == c.beat - 1 ? 1 : 0); },
      c.taken.frame_s());
  if (c.taken.per_s() == 25.0) scene.light = ripple(103.0, 0.3);
  const double hz = scene.light.components.front().hz;
  const FootageResult result = measured(scene);
  CAPTURE(c.taken.per_s());
  CHECK(result.repeated_frames ==
        static_cast<std::uint64_t>(result.frames / static_cast<std::uint64_t>(c.beat)));
  CHECK(warns(result, "repeated_frames"));
  REQUIRE(result.fps);
  CHECK(result.fps->per_s() == Approx(c.taken.per_s()));
  REQUIRE(result.roll_hz);
  const double fps = c.taken.per_s();
  CHECK(*result.roll_hz == Approx(hz - fps * std::round(hz / fps)).margin(0.02));
}

TEST_CASE("lost frames show as steps of the pattern, are counted, and do not spoil the figures") {
  FilmedScene scene = clear_bands({30, 1});
  scene.light = ripple(103.0, 0.3, 0.05);
  std::mt19937 random(3);
  std::uint64_t lost = 0;
  for (int n = 0; n < 120; ++n) {
    const bool lose = n > 0 && n < 119 && random() % 20 == 0;
    lost += lose ? 1 : 0;
    if (!lose) scene.frame_times_s.push_back(n / 30.0);
  }
  const FootageResult result = measured(scene);
  REQUIRE(lost > 2);
  CHECK(result.dropped_frames == lost);
  CHECK(result.repeated_frames == 0U);
  CHECK(warns(result, "dropped_frames"));
  REQUIRE(result.roll_hz);
  CHECK(*result.roll_hz == Approx(13.0).margin(0.02));
  const LightShare alone[] = {{scene.light, 1.0}};
  const double promised =
      predict(alone, {scene.fps, scene.exposure_s, scene.readout_s, scene.height}, {})
          .nominal.band_percent;
  CHECK(*result.band_percent == Approx(promised).epsilon(0.03));
}

TEST_CASE("frames taken at uneven times keep their depth and give no roll, light or readout") {
  FilmedScene scene = clear_bands({30, 1});
  std::mt19937 random(5);
  std::uniform_real_distribution<double> late(-0.005, 0.005);
  for (int n = 0; n < 90; ++n) scene.frame_times_s.push_back(n / 30.0 + late(random));
  const FootageResult result = measured(scene);
  CHECK(warns(result, "uneven_frames"));
  CHECK_FALSE(result.roll_hz);
  CHECK_FALSE(result.readout_s);
  CHECK(result.lights.empty());
  REQUIRE(result.band_percent);
  const LightShare alone[] = {{scene.light, 1.0}};
  const double promised =
      predict(alone, {scene.fps, scene.exposure_s, scene.readout_s, scene.height}, {})
          .nominal.band_percent;
  CHECK_FALSE(off(result.band_percent, result.band_percent_sd, promised));
}

TEST_CASE("an even clip is not said to have repeated or lost frames") {
  FilmedScene scene = clear_bands({30, 1});
  const FootageResult result = measured(scene);
  CHECK(result.repeated_frames == 0U);
  CHECK(result.dropped_frames == 0U);
  CHECK_FALSE(warns(result, "uneven_frames"));
  SECTION("and without noise or light, equal frames mean nothing") {
    scene.noise = 0.0;
    scene.light.components.clear();
    const FootageResult still = measured(scene);
    CHECK_FALSE(still.repeated_frames);
    CHECK_FALSE(still.dropped_frames);
  }
}
