#include <algorithm>
#include <array>
#include <cmath>
#include <complex>
#include <cstdint>
#include <numbers>
#include <optional>
#include <random>
#include <vector>

#include "lampbeat/exposure.hpp"
#include "lampbeat/shot.hpp"
#include "lampbeat/typical.hpp"
#include "lampbeat/visibility.hpp"
#include "reasoning/bands/contrast.hpp"
#include "reasoning/bands/eye.hpp"
#include "reasoning/bands/gains.hpp"
#include "reasoning/bands/lags.hpp"
#include "reasoning/bands/recorded.hpp"
#include "reasoning/bands/residue.hpp"
#include "reasoning/camera/frame_mean.hpp"
#include "reasoning/judge/judge.hpp"
#include "reasoning/judge/room.hpp"
#include "reasoning/judge/search.hpp"
#include "reasoning/judge/weights.hpp"
#include "support/catch.hpp"
#include "support/draws.hpp"

// What spares the judge work has to be a bound: never above what the full search finds.

namespace {

using namespace lampbeat;
using namespace lampbeat::reasoning;
using test::between;
using test::draws;
using test::logarithmic;

std::vector<mixture::Series> drawn_rhythms(std::mt19937& random) {
  std::vector<mixture::Series> rhythms(1 + random() % 3);
  for (mixture::Series& rhythm : rhythms) {
    rhythm.hz = logarithmic(random, 30.0, 20000.0);
    const int orders = 1 + static_cast<int>(random() % 12);
    for (int order = 1; order <= orders; ++order) {
      const double size = between(random, 0.0, 0.4) / order;
      rhythm.harmonics.push_back({order, std::polar(size, between(random, -3.0, 3.0))});
    }
  }
  return rhythms;
}

Shot drawn_shot(std::mt19937& random) {
  Shot shot;
  shot.fps = {static_cast<std::int64_t>(20 + random() % 100), 1};
  shot.readout_s = between(random, 0.1, 1.0) * shot.fps.frame_s();
  shot.rows = 200 + static_cast<int>(random() % 1500);
  return shot;
}

/// Generic lamps, some of them twice, and dimmers of any frequency, whose lines may meet.
std::vector<LightShare> drawn_room(std::mt19937& random, double mains_hz) {
  const auto& typical = typical_lights();
  std::vector<LightShare> lights;
  const std::size_t many = 1 + random() % 4;
  while (lights.size() < many) {
    if (!lights.empty() && random() % 4 == 0) {
      lights.push_back(lights.back());
    } else if (random() % 2) {
      lights.push_back({typical_light(typical[random() % typical.size()].name, mains_hz), 1.0});
    } else {
      Light dimmer;
      dimmer.name = "dimmer";
      const double hz = random() % 2 ? logarithmic(random, 40.0, 20000.0)
                                     : mains_hz * static_cast<double>(1 + random() % 24);
      const int orders = 1 + static_cast<int>(random() % 8);
      for (int order = 1; order <= orders; ++order) {
        dimmer.components.push_back(
            {order * hz, logarithmic(random, 1e-4, 0.3) / order, between(random, -3.0, 3.0), {}});
      }
      lights.push_back({dimmer, 1.0});
    }
    lights.back().share = logarithmic(random, 0.05, 1.0);
  }
  return lights;
}

}  // namespace

TEST_CASE("the telling pair is a pair, and tells much") {
  std::mt19937 random(11);
  double told = 0.0;
  double there = 0.0;
  for (int i = 0; i < draws(400); ++i) {
    const auto rows = drawn_rhythms(random);
    const Shot shot = drawn_shot(random);
    const double telling = bands::telling_contrast(rows, shot.rows - 1, shot.readout_s / shot.rows);
    const double widest = bands::widest_in_frame(rows, shot, bands::Effort::full).contrast;
    // A full search is within 0.1 % of the widest.
    CHECK(telling <= 1.001 * widest + 1e-9);
    told += telling;
    there += widest;
  }
  CHECK(told > 0.5 * there);
}

TEST_CASE("the telling pair of a cosine is its widest") {
  const std::vector<mixture::Series> cosine = {{120.0, {{1, 0.3}}}};
  CHECK(bands::telling_contrast(cosine, 1079, 0.016 / 1080) == Approx(0.3).epsilon(1e-4));
  CHECK(bands::telling_contrast({}, 1079, 0.016 / 1080) == 0.0);
  CHECK(bands::telling_contrast(cosine, 0, 0.016 / 1080) == 0.0);
}

TEST_CASE("bands are no less visible than their strongest line alone") {
  const bands::Eye eye{Viewing{}};
  std::mt19937 random(12);
  for (int i = 0; i < draws(1000); ++i) {
    const auto rows = drawn_rhythms(random);
    const Shot shot = drawn_shot(random);
    const double contrast = between(random, 0.0, 1.0);
    const double whole = bands::recorded(rows, {}, {contrast, 0.0}, shot, eye).band_visibility;
    const double least = bands::visible_at_least(contrast, rows, shot, eye);
    CHECK(least <= whole);
    CHECK(least > 0.0);
  }
}

TEST_CASE("a lone line is as visible by the short way as by the long") {
  const bands::Eye eye{Viewing{}};
  std::mt19937 random(13);
  for (int i = 0; i < draws(1000); ++i) {
    const Shot shot = drawn_shot(random);
    const double hz = between(random, 0.0, 3000.0);
    const double contrast = between(random, 0.0, 1.0);
    const std::vector<mixture::Series> line = {{hz, {{1, contrast}}}};
    CHECK(bands::visible_bands(contrast, hz, shot, eye) ==
          bands::recorded(line, {}, {contrast, 0.0}, shot, eye).band_visibility);
    CHECK(bands::visible_pulsing(contrast, hz, shot, eye) ==
          bands::recorded({}, line, {0.0, contrast}, shot, eye).pulse_visibility);
  }
}

TEST_CASE("what a frame's mean leaves of a line is the size of its gain") {
  std::mt19937 random(14);
  for (int i = 0; i < draws(1000); ++i) {
    const double hz = between(random, 0.0, 50000.0);
    const double readout_s = between(random, 0.0, 0.04);
    const int rows = 1 + static_cast<int>(random() % 2000);
    CHECK(camera::left_in_frame_mean(hz, readout_s, rows) ==
          Approx(std::abs(frame_mean_gain(hz, readout_s, rows))).margin(1e-12));
  }
  CHECK(camera::left_in_frame_mean(1000.0, 0.1, 100) == 1.0);
}

TEST_CASE("no pattern is more visible than the eye's bound") {
  std::mt19937 random(16);
  for (int i = 0; i < draws(300); ++i) {
    Viewing viewing;
    viewing.distance_heights = logarithmic(random, 0.1, 100.0);
    viewing.screen_cd_m2 = logarithmic(random, 0.1, 10000.0);
    const bands::Eye eye{viewing};
    double bands_most = 0.0;
    double pulsing_most = 0.0;
    for (int pattern = 0; pattern < 200; ++pattern) {
      const double hz = random() % 8 ? logarithmic(random, 1e-3, 500.0) : 0.0;
      const double across = random() % 8 ? logarithmic(random, 1e-2, 2000.0) : 0.0;
      bands_most = std::max(bands_most, eye.of_bands(1.0, across, hz).most_sensitive);
      pulsing_most = std::max(pulsing_most, eye.of_pulsing(1.0, hz).most_sensitive);
    }
    CHECK(bands_most <= eye.most_of_bands());
    CHECK(pulsing_most <= eye.most_of_pulsing());
  }
}

TEST_CASE("no frequency of a range shows more than the highest found for it") {
  // Narrow heights where bands stand still on the screen included, in slow motion too.
  std::mt19937 random(919);
  const reasoning::judge::Weights weights{Viewing{}};
  for (int i = 0; i < draws(600); ++i) {
    constexpr std::array<std::int64_t, 6> rates = {24, 25, 50, 60, 120, 240};
    const FrameRate fps{1000 * rates[random() % rates.size()], random() % 2 ? 1000 : 1001};
    const Shot shot = shot_of(fps, 0.5 * fps.frame_s(), {});
    const double low_hz = logarithmic(random, 50.0, 3000.0);
    const double high_hz = low_hz * (1.0 + logarithmic(random, 1e-3, 0.04));
    const double highest = weights.highest_of_bands(low_hz, high_hz, shot);
    INFO(fps.per_s() << " fps, " << low_hz << " to " << high_hz << " Hz");
    double seen = 0.0;
    constexpr int places = 1000;
    for (int k = 0; k <= places; ++k) {
      const double hz = low_hz + (high_hz - low_hz) * k / places;
      seen = std::max(seen, weights.bands(1.0, hz, shot));
    }
    CHECK(seen <= 1.05 * highest);
  }
}

TEST_CASE("turning from order to order leaves what sines leave") {
  std::mt19937 random(17);
  for (int i = 0; i < draws(600); ++i) {
    const double hz = logarithmic(random, 1.0, 20000.0);
    const double exposure_s = logarithmic(random, 1e-5, 0.05);
    const Shot shot = drawn_shot(random);
    bands::ExposureGains rows(hz, exposure_s);
    bands::FrameMeanGains frames(hz, shot);
    for (int order = 1; order < 200; order += 1 + static_cast<int>(random() % 25)) {
      const double gain = exposure_gain(order * hz, exposure_s);
      const double half_turns = std::fmod(order * hz * exposure_s, 2.0);
      const auto middle = std::polar(gain, std::numbers::pi * half_turns);
      CHECK(std::abs(rows.at(order) - middle) < 1e-11);
      CHECK(rows.size_at(order) == Approx(std::abs(gain)).margin(1e-11));
      const auto mean = frame_mean_gain(order * hz, shot.readout_s, shot.rows);
      CHECK(std::abs(frames.at(order) - mean) < 1e-8);
      CHECK(frames.size_at(order) == Approx(std::abs(mean)).margin(1e-8));
    }
  }
}

TEST_CASE("lags are the same when they are kept") {
  std::mt19937 random(18);
  for (int i = 0; i < draws(300); ++i) {
    const int highest = static_cast<int>(random() % 3000);
    const int limit = random() % 2 ? 1200 : 160;
    const auto kept = bands::lags_kept(highest, limit);
    CHECK(std::vector(kept.begin(), kept.end()) == bands::lags_up_to(highest, limit));
  }
}

TEST_CASE("no look shows more than its ceiling, whatever lights meet in it") {
  std::mt19937 random(19);
  for (int i = 0; i < draws(3000); ++i) {
    const double mains_hz = random() % 2 ? 50.0 : 60.0;
    const std::vector<LightShare> lights = drawn_room(random, mains_hz);
    PredictionOptions options;
    options.mains_hz = mains_hz;
    options.viewing.screen_cd_m2 = logarithmic(random, 20.0, 1000.0);
    if (random() % 4 == 0) options.viewing.noise_percent = logarithmic(random, 0.5, 20.0);
    const judge::Room room = judge::room_of(lights, options);
    const judge::Scene scene = judge::scene_of(room.lights, mains_hz, {});
    Shot shot = drawn_shot(random);
    if (random() % 2) shot.readout_s = 0.0;
    shot.exposure_s = logarithmic(random, 1e-3, 1.0) * shot.fps.frame_s();
    judge::Offsets look;
    for (const judge::Clock& clock : scene.clocks) {
      look.push_back(random() % 2 ? 0.0 : between(random, clock.low, clock.high));
    }
    const judge::Weights weights(options.viewing);
    judge::Search search(scene, std::vector<judge::Offsets>{look}, shot, weights);
    // What a search calculates in single precision.
    constexpr double calculated = 1e-6;
    const double most = std::max(weights.most_bands(), weights.most_pulsing());
    INFO(i << ": " << lights.size() << " lights at " << shot.fps.per_s() << " fps, "
           << shot.exposure_s << " s, readout " << shot.readout_s << " s");
    for (const judge::Figure figure : {&Recorded::band_percent, &Recorded::band_visibility,
                                       &Recorded::pulse_percent, &Recorded::pulse_visibility}) {
      if (shot.readout_s == 0.0 && figure == &Recorded::band_percent) continue;
      const bool percent = figure == &Recorded::band_percent || figure == &Recorded::pulse_percent;
      CHECK(search.peak(figure).*figure <=
            (1.0 + 1e-4) * search.ceiling(figure) + calculated * (percent ? 100.0 : most));
    }
  }
}

TEST_CASE("what the judge calls clean in a word is clean in figures") {
  std::mt19937 random(15);
  const auto& lights = typical_lights();
  for (int i = 0; i < draws(600); ++i) {
    const double mains_hz = random() % 2 ? 50.0 : 60.0;
    const LightShare light{typical_light(lights[random() % lights.size()].name, mains_hz), 1.0};
    PredictionOptions options;
    options.viewing.screen_cd_m2 = logarithmic(random, 20.0, 1000.0);
    const judge::Room room = judge::room_of({&light, 1}, options);
    const std::optional<double> readout_s =
        random() % 2 ? std::optional<double>(0.0) : std::optional<double>();
    const judge::Judge judge = judge::judge_of(room, readout_s, 1080);
    const FrameRate fps{static_cast<std::int64_t>(24 + random() % 40), 1};
    const double exposure_s = logarithmic(random, 1e-3, fps.frame_s());
    if (!judge.clean(exposure_s, fps)) continue;
    const Recorded worst =
        judge.worst(exposure_s, fps, judge.nominal(exposure_s, fps).figures).figures;
    INFO(light.light.name << " at " << fps.per_s() << " fps, " << exposure_s << " s, "
                          << (readout_s ? "global" : "rolling") << ", mains " << mains_hz);
    CHECK(worst.visibility < 1.05 * clean_below);
  }
}

TEST_CASE("frames in step with the light are not clean while the mains drifts") {
  const LightShare sodium{typical_light("sodium", 50.0), 1.0};
  PredictionOptions options;
  options.mains_hz = 50.0;
  options.viewing.playback_fps = 25.0;
  const judge::Room room = judge::room_of({&sodium, 1}, options);
  const judge::Judge judge = judge::judge_of(room, 0.0, 1080);
  CHECK(!judge.clean(1.0 / 288.0, {50, 1}));
  CHECK(judge.clean(1.0 / 100.0, {50, 1}));
}
