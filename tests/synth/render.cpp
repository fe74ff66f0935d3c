#include <algorithm>
#include <cmath>
#include <numbers>
#include <vector>

#include "lampbeat/error.hpp"
#include "lampbeat/rendering.hpp"
#include "support/brute_force.hpp"
#include "support/catch.hpp"

using namespace lampbeat;

namespace {

LightRecipe rippled() {
  LightRecipe light;
  light.ripple = RectifiedRipple{50.0, 60.0};
  light.base.components = {{777.0, 0.1, 1.0, {}}};
  return light;
}

ClipRecipe small_clip() {
  ClipRecipe clip;
  clip.shot = {{30000, 1001}, 1.0 / 250.0, 0.02, 90};
  clip.columns = 200;
  clip.seconds = 0.2;
  return clip;
}

std::vector<std::vector<std::uint16_t>> frames_of(const LightRecipe& light,
                                                  const ClipRecipe& clip) {
  std::vector<std::vector<std::uint16_t>> frames;
  render(light, clip, [&](const std::vector<std::uint16_t>& luma) { frames.push_back(luma); });
  return frames;
}

}  // namespace

TEST_CASE("Row exposures are what brute-force integration collects, frame after frame") {
  const LightRecipe light = rippled();
  const Shot shot = small_clip().shot;
  const brute_force::Camera camera{30000.0 / 1001.0, shot.exposure_s, shot.readout_s, shot.rows};
  const auto waveform = [&](double t_s) { return light.at(t_s); };
  for (const std::uint64_t frame : {0U, 1U, 29U, 1001U}) {
    const auto exact = row_exposures(light, shot, frame);
    const auto expected =
        brute_force::frame(waveform, camera, static_cast<double>(frame) * 1001.0 / 30000.0, 60);
    REQUIRE(exact.size() == expected.size());
    for (std::size_t row = 0; row < exact.size(); ++row) {
      CHECK(exact[row] == Approx(expected[row]).margin(2e-5));  // the ripple's cusps cost it digits
    }
  }
}

TEST_CASE("Without noise every pixel is its row's exposure through the transfer function") {
  const LightRecipe light = rippled();
  for (const int bits : {8, 10}) {
    ClipRecipe clip = small_clip();
    clip.bits = bits;
    clip.noise_percent = 0.0;
    const auto frames = frames_of(light, clip);
    REQUIRE(frames.size() == 6);
    const auto exposure = row_exposures(light, clip.shot, 3);
    for (std::size_t row = 0; row < exposure.size(); ++row) {
      // ITU-R BT.709-6 items 1.2 and 3.4, written out once more.
      const double signal = 1.099 * std::pow(0.4 * exposure[row], 0.45) - 0.099;
      const double code = (bits == 8 ? 1.0 : 4.0) * (219.0 * signal + 16.0);
      for (std::size_t x = 0; x < 200; x += 37) {
        CHECK(std::abs(frames[3][row * 200 + x] - code) <= 0.5 + 1e-6);
      }
    }
  }
}

TEST_CASE("Noise dithers: row means are finer than a code value, and unbiased") {
  const LightRecipe light = rippled();
  ClipRecipe clip = small_clip();
  clip.columns = 4000;
  clip.seconds = 0.03;
  const auto frames = frames_of(light, clip);
  const auto exposure = row_exposures(light, clip.shot, 0);
  double farthest = 0.0;
  for (std::size_t row = 0; row < exposure.size(); ++row) {
    double sum = 0.0;
    for (std::size_t x = 0; x < 4000; ++x) {
      sum += decode(clip.transfer, (frames[0][row * 4000 + x] - 16.0) / 219.0);
    }
    farthest = std::max(farthest, std::abs(sum / 4000.0 / 0.4 - exposure[row]));
  }
  CHECK(farthest < 0.0012);  // one code value is about 0.014 here
}

TEST_CASE("A clip depends on its seed alone") {
  ClipRecipe clip = small_clip();
  const auto first = frames_of(rippled(), clip);
  CHECK(first == frames_of(rippled(), clip));
  clip.seed = 2;
  CHECK(first != frames_of(rippled(), clip));
}

TEST_CASE("Rows brighter than white are clipped, and their share is told") {
  LightRecipe light;
  light.base.components = {{100.0, 0.9, 0.0, {}}};
  ClipRecipe clip = small_clip();
  clip.wall = 0.8;
  clip.noise_percent = 0.0;
  std::uint16_t brightest = 0;
  const double share = render(light, clip, [&](const std::vector<std::uint16_t>& luma) {
    brightest = std::max(brightest, *std::max_element(luma.begin(), luma.end()));
  });
  CHECK(brightest == 235);
  CHECK(share > 0.2);
  CHECK(share < 0.6);
  clip.wall = 0.4;
  CHECK(render(light, clip, [](const auto&) {}) == 0.0);
}

TEST_CASE("A clip nobody could film is refused") {
  const auto refuses = [](auto change) {
    ClipRecipe clip = small_clip();
    change(clip);
    CHECK_THROWS_AS(frames_of(rippled(), clip), UsageError);
  };
  refuses([](auto& c) { c.shot.exposure_s = 0.05; });
  refuses([](auto& c) { c.shot.exposure_s = 0.0; });
  refuses([](auto& c) { c.shot.readout_s = -0.01; });
  refuses([](auto& c) { c.shot.rows = 0; });
  refuses([](auto& c) { c.columns = 1000000; });
  refuses([](auto& c) { c.bits = 9; });
  refuses([](auto& c) { c.wall = 0.0; });
  refuses([](auto& c) { c.seconds = std::nan(""); });
}
