// Which lamp spoilt the clip: one pattern for each lamp, and no lamp explains more than it can.

#include <random>

#include "lampbeat/footage.hpp"
#include "support/catch.hpp"
#include "support/clip_renderer.hpp"
#include "support/draws.hpp"

using namespace lampbeat;
using namespace lampbeat::test;

namespace {

/// A lamp that is switched: harmonics of a pulse of this duty, as deep as asked (Fourier series of
/// a rectangular pulse, any table).
Light switched(const std::string& name, double hz, double duty, double depth) {
  Light light;
  light.name = name;
  for (int k = 1; k <= 12; ++k) {
    const double amplitude =
        2.0 * depth * std::sin(std::numbers::pi * k * duty) / (std::numbers::pi * k * duty);
    light.components.push_back({k * hz, std::abs(amplitude), amplitude < 0 ? 3.14159265 : 0.0, {}});
  }
  return light;
}

/// A sine, or a pulse.
Light any_lamp(const std::string& name, double hz, Random& draw) {
  const double depth = between(draw, 0.1, 0.8);
  if (often(draw, 0.5)) return switched(name, hz, between(draw, 0.15, 0.85), depth);
  Light light;
  light.name = name;
  light.components = {{hz, depth, 0.3, {}}};
  return light;
}

/// Half the light of each.
Light together(const Light& one, const Light& other) {
  Light both;
  for (const Light* lamp : {&one, &other}) {
    for (LightComponent c : lamp->components) {
      c.amplitude *= 0.5;
      both.components.push_back(c);
    }
  }
  return both;
}

FilmedScene wall(FrameRate fps, Random& draw) {
  FilmedScene scene;
  scene.width = 32;
  scene.height = 120;
  scene.fps = fps;
  scene.exposure_s = 1.0 / between(draw, 500.0, 2000.0);
  scene.readout_s = between(draw, 0.012, 0.9 * fps.frame_s());
  scene.seconds = 2.0;
  scene.noise = between(draw, 0.003, 0.02);
  return scene;
}

FootageResult measured(const FilmedScene& scene, const FootageSettings& settings) {
  FilmedClip clip(scene);
  return measure_footage(clip, nullptr, settings);
}

const Suspect& named(const FootageResult& result, const std::string& name) {
  const auto found = std::find_if(result.suspects.begin(), result.suspects.end(),
                                  [&](const Suspect& s) { return s.name == name; });
  REQUIRE(found != result.suspects.end());
  return *found;
}

}  // namespace

TEST_CASE("one lamp is one pattern, however sharply it is switched") {
  const int all = draws(60);
  int several = 0;
  int one = 0;
  for (int i = 0; i < all; ++i) {
    Random draw(static_cast<unsigned>(i) + 700);
    FilmedScene scene = wall(i % 2 == 0 ? FrameRate{25, 1} : FrameRate{30, 1}, draw);
    scene.light = any_lamp("lamp", between(draw, 90.0, 700.0), draw);
    const FootageResult result = measured(scene, {});
    several += result.waves.size() > 1 ? 1 : 0;
    one += result.waves.size() == 1 ? 1 : 0;
  }
  CHECK(several <= all / 100);
  CHECK(one > all / 2);
}

TEST_CASE("two lamps are two patterns, each explained by its own lamp") {
  const int all = draws(60);
  int both = 0;
  int wrong = 0;
  for (int i = 0; i < all; ++i) {
    Random draw(static_cast<unsigned>(i) + 900);
    FilmedScene scene = wall({25, 1}, draw);
    // At 25 frames a second 120 Hz rolls at -5 Hz, the dimmer well beside that and its multiples.
    Light panel;
    panel.name = "panel";
    panel.components = {{120.0, between(draw, 0.2, 0.6), 0.0, {}}};
    Light dimmer;
    dimmer.name = "dimmer";
    dimmer.components = {{483.0, between(draw, 0.2, 0.6), 0.0, {}}};
    scene.light = together(panel, dimmer);
    scene.exposure_s = 1.0 / 2000.0;
    FootageSettings settings;
    settings.suspects = {panel, dimmer};
    const FootageResult result = measured(scene, settings);
    if (result.waves.size() != 2) continue;
    ++both;
    const bool right = named(result, "panel").explains && named(result, "dimmer").explains &&
                       result.waves[0].suspects.size() == 1 &&
                       result.waves[1].suspects.size() == 1 &&
                       result.waves[0].suspects != result.waves[1].suspects;
    wrong += right ? 0 : 1;
  }
  CHECK(both > 0.8 * all);
  CHECK(wrong <= all / 50);
}

TEST_CASE("a lamp explains no more than it could give at any shutter") {
  Random draw(5);
  FilmedScene scene = wall({25, 1}, draw);
  scene.light = any_lamp("culprit", 120.0, draw);
  scene.light.components = {{120.0, 0.08, 0.0, {}}};
  scene.exposure_s = 1.0 / 1000.0;
  Light faint;
  faint.name = "faint";
  faint.components = {{120.0, 0.012, 0.0, {}}};
  Light deep = faint;
  deep.name = "deep";
  deep.components.front().amplitude = 0.08;
  FootageSettings settings;
  settings.suspects = {faint, deep};
  SECTION("shutter unknown") {}
  SECTION("shutter known") { settings.exposure_s = scene.exposure_s; }
  const FootageResult result = measured(scene, settings);
  CHECK_FALSE(named(result, "faint").explains);
  CHECK(named(result, "faint").why.find("too steady") != std::string::npos);
  CHECK(named(result, "deep").explains);
}
