// The curve a clip was recorded with shows in the picture: after the right one, bands are as deep
// in its bright parts as in its dark ones. Clips by brute force, curves as published (ITU-R
// BT.709-6, BT.2100-2, IEC 61966-2-1).

#include <numbers>
#include <random>

#include "lampbeat/footage.hpp"
#include "support/catch.hpp"
#include "support/clip_renderer.hpp"
#include "support/coverage.hpp"
#include "support/draws.hpp"
#include "support/noises.hpp"

using namespace lampbeat;
using lampbeat::test::FilmedClip;
using lampbeat::test::FilmedScene;

namespace {

using noises::between;
using noises::Random;

/// A furnished room under one lamp, its bands rolling.
FilmedScene furnished_room(Random& random, unsigned seed) {
  FilmedScene s;
  s.seed = seed;
  s.width = 128;
  s.height = 216;
  s.fps = seed % 2 == 0 ? FrameRate{30, 1} : FrameRate{24, 1};
  s.readout_s = between(random, 0.008, 0.03);
  s.exposure_s = between(random, 1.0 / 1000.0, 1.0 / 200.0);
  s.seconds = between(random, 1.5, 3.0);
  s.noise = between(random, 0.005, 0.03);
  s.level = between(random, 0.15, 0.5);
  s.furnished = true;
  s.light.components = {{between(random, 99.9, 100.1), between(random, 0.05, 0.6), 0.3, {}}};
  return s;
}

FootageResult read_as(const FilmedScene& scene, const TransferFunction& transfer) {
  FilmedClip clip(scene);
  FootageSettings settings;
  settings.transfer = transfer;
  settings.light_hz = 100.0;
  return measure_footage(clip, nullptr, settings);
}

}  // namespace

TEST_CASE(
    "a clip read by another curve than its own is doubted, its figure covers the true depth") {
  Random random(41);
  const TransferFunction bt709{Transfer::bt709, {}};
  const TransferFunction hlg{Transfer::hlg, {}};
  const TransferFunction linear{Transfer::linear, {}};
  const std::pair<TransferFunction, TransferFunction> mistakes[] = {
      {hlg, bt709}, {linear, bt709}, {bt709, hlg}, {linear, {Transfer::srgb, {}}}};
  const int all = lampbeat::test::draws(100);
  int doubted = 0;
  int wrong = 0;
  lampbeat::test::Coverage depth;
  for (int draw = 0; draw < all; ++draw) {
    FilmedScene scene = furnished_room(random, static_cast<unsigned>(draw));
    const auto& [recorded, read] = mistakes[draw % 4];
    scene.transfer = recorded;
    const FootageResult right = read_as(scene, recorded);
    const FootageResult r = read_as(scene, read);
    if (!right.band_percent || !r.band_percent) continue;
    CAPTURE(draw, transfer_name(recorded), transfer_name(read));
    if (!r.transfer_doubt) continue;
    ++doubted;
    CHECK(r.verdict != Verdict::clean);
    CHECK_FALSE(r.light);
    depth.take(*right.band_percent - *r.band_percent, *r.band_percent_sd);
    if (std::abs(*right.band_percent - *r.band_percent) > 2.0 * *r.band_percent_sd) {
      UNSCOPED_INFO(*right.band_percent << " read " << *r.band_percent << " ± "
                                        << *r.band_percent_sd);
      ++wrong;
    }
  }
  CAPTURE(doubted, all);
  // The others show too little of bright and dark.
  CHECK(depth.stated_over_actual() < 4.0);
  CHECK(doubted >= all / 2);
  CHECK(wrong <= 1 + all / 50);
}

TEST_CASE("a clip of a camera's logarithmic mode is not read as an ordinary one without a word") {
  Random random(43);
  const int all = lampbeat::test::draws(60);
  int doubted = 0;
  lampbeat::test::Coverage depth;
  for (int draw = 0; draw < all; ++draw) {
    FilmedScene scene = furnished_room(random, static_cast<unsigned>(draw));
    const double slope = between(random, 0.2, 0.3);  // a tenfold of light
    const double toe = between(random, 0.01, 0.03);
    scene.curve = [=](double light) {
      return 0.5 + slope * std::log10(std::max(9.0 * light + toe, 1e-4));
    };
    const FootageResult r = read_as(scene, {Transfer::bt709, {}});
    if (!r.transfer_doubt) continue;
    ++doubted;
    CHECK(r.verdict != Verdict::clean);
    // The lamp's own depth, at so short a shutter.
    const double x = std::numbers::pi * 100.0 * scene.exposure_s;
    const double truth = 100.0 * scene.light.components[0].amplitude * std::sin(x) / x;
    depth.take(*r.band_percent - truth, *r.band_percent_sd);
    CHECK(std::abs(*r.band_percent - truth) < 2.0 * *r.band_percent_sd);
  }
  CAPTURE(doubted, all);
  // The others show too little of bright and dark.
  CHECK(depth.stated_over_actual() < 4.0);
  CHECK(doubted >= 6 * all / 10);
}

TEST_CASE("a clip read by its own curve is not doubted, whatever else lights the room") {
  Random random(42);
  const TransferFunction curves[] = {{Transfer::bt709, {}},
                                     {Transfer::srgb, {}},
                                     {Transfer::hlg, {}},
                                     {Transfer::linear, {}},
                                     {Transfer::gamma, 2.2}};
  const int all = lampbeat::test::draws(120);
  int doubted = 0;
  for (int draw = 0; draw < all; ++draw) {
    FilmedScene scene = furnished_room(random, static_cast<unsigned>(draw));
    scene.transfer = curves[draw % 2 == 0 ? 0 : draw / 2 % 5];
    if (draw % 3 == 1) scene.daylight = between(random, 0.1, 2.0);
    if (scene.daylight > 0.0) scene.level /= 1.0 + scene.daylight;
    if (draw % 4 == 1) scene.foreground = true;
    if (draw % 5 == 1) scene.exposure_drift = between(random, 0.02, 0.2);
    const FootageResult r = read_as(scene, scene.transfer);
    if (!r.transfer_doubt) continue;
    UNSCOPED_INFO(draw << " daylight " << scene.daylight << ": " << *r.transfer_doubt);
    ++doubted;
  }
  CHECK(doubted <= all / 100);
}
