#include <algorithm>
#include <cmath>
#include <random>

#include "lampbeat/banding.hpp"
#include "lampbeat/prediction.hpp"
#include "reasoning/predict_lights.hpp"
#include "support/brute_force.hpp"
#include "support/catch.hpp"

using namespace lampbeat;
using namespace predict_lights;

namespace {

PredictionOptions no_drift() {
  PredictionOptions options;
  options.mains_tolerance_hz = 0.0;
  return options;
}

double exposure_within(std::mt19937& random, FrameRate fps) {
  return logarithmic(random, 2e-4, fps.frame_s());
}

/// A search over starts can only fall short of the least favourable one, and only a little.
void check_against(double predicted_percent, double searched_percent) {
  CHECK(searched_percent <= 1.001 * predicted_percent + 0.001);
  CHECK(predicted_percent - searched_percent <= std::max(0.01 * predicted_percent, 0.03));
}

}  // namespace

TEST_CASE("banding of one series is what integrating every row finds at its worst start") {
  std::mt19937 random(11);
  for (int i = 0; i < 36; ++i) {
    const double fundamental_hz = logarithmic(random, 45.0, 1500.0);
    const Light light = series(random, fundamental_hz, 1 + i % 5);
    const FrameRate fps = frame_rates[static_cast<std::size_t>(i) % std::size(frame_rates)];
    // Readouts from a small part of a cycle to many, and few rows as well as many.
    const Shot shot{fps, exposure_within(random, fps), logarithmic(random, 5e-4, fps.frame_s()),
                    i % 3 == 0 ? 8 + i : 150};
    const double searched = brute_force::worst_banding(
        as_function(light), as_camera(shot), brute_force::starts_over(1.0 / fundamental_hz, 140),
        pieces_for(light, shot.exposure_s));
    INFO("case " << i << ": " << fundamental_hz << " Hz, exposure " << shot.exposure_s
                 << ", readout " << shot.readout_s << ", rows " << shot.rows);
    const Prediction p = predict(std::vector<LightShare>{{light, 1.0}}, shot, no_drift());
    check_against(p.nominal.band_percent, 100.0 * searched);
  }
}

TEST_CASE("banding at full height agrees with every one of 1080 rows") {
  std::mt19937 random(12);
  for (int i = 0; i < 2; ++i) {
    const Light light = locked_series(random, i % 2 == 0 ? 50.0 : 60.0, 4);
    const Shot shot{{25, 1}, exposure_within(random, {25, 1}), between(random, 0.002, 0.03), 1080};
    const double searched = brute_force::worst_banding(
        as_function(light), as_camera(shot), brute_force::starts_over(0.5 / *light.mains_hz, 90),
        pieces_for(light, shot.exposure_s));
    const Prediction p = predict(std::vector<LightShare>{{light, 1.0}}, shot, no_drift());
    check_against(p.nominal.band_percent, 100.0 * searched);
  }
}

TEST_CASE("a rhythm too fast for the rows is found where the rows happen to sample it") {
  std::mt19937 random(13);
  for (int i = 0; i < 12; ++i) {
    const double hz = between(random, 3000.0, 25000.0);
    const Light light = series(random, hz, 2);
    const Shot shot{{60, 1}, between(random, 1e-5, 1e-4), between(random, 0.004, 0.016), 300};
    const double searched = brute_force::worst_banding(as_function(light), as_camera(shot),
                                                       brute_force::starts_over(1.0 / hz, 150),
                                                       pieces_for(light, shot.exposure_s));
    const Prediction p = predict(std::vector<LightShare>{{light, 1.0}}, shot, no_drift());
    check_against(p.nominal.band_percent, 100.0 * searched);
  }
}

TEST_CASE("two components in a simple ratio keep the phases they were taken with") {
  // 100 Hz and 300 Hz of unknown origin: the sum of both at their worst would overstate it.
  std::mt19937 random(14);
  for (int i = 0; i < 10; ++i) {
    Light light;
    light.components = {{100.0, 0.3, between(random, 0.0, 6.28), {}},
                        {i % 2 == 0 ? 300.0 : 250.0, 0.25, between(random, 0.0, 6.28), {}}};
    const Shot shot{{25, 1}, 1e-3, between(random, 0.004, 0.02), 150};
    const double searched = brute_force::worst_banding(as_function(light), as_camera(shot),
                                                       brute_force::starts_over(0.02, 360), 4);
    const Prediction p = predict(std::vector<LightShare>{{light, 1.0}}, shot, no_drift());
    check_against(p.nominal.band_percent, 100.0 * searched);
  }
}

TEST_CASE("pulsing is what the means of every row of many frames show") {
  std::mt19937 random(15);
  int slow_ones = 0;
  for (int i = 0; i < 18; ++i) {
    const FrameRate fps = frame_rates[static_cast<std::size_t>(i) % std::size(frame_rates)];
    const int kind = (i + i / 9) % 3;
    const double hz = kind == 0 ? 100.0 : kind == 1 ? 120.0 : between(random, 60.0, 400.0);
    const Light light = series(random, hz, 1 + i % 3);
    const Shot shot{fps, exposure_within(random, fps),
                    i % 2 == 0 ? 0.0 : between(random, 0.0, 0.6) / hz, i % 2 == 0 ? 1 : 16};
    // A beat close to standing still makes its round in many frames (120 Hz at 24000/1001 or
    // 30000/1001 a second: in 8.3 s), and they go through its phases by themselves.
    const double beat_hz = std::abs(std::remainder(hz, fps.per_s()));
    const bool slow = beat_hz > 1e-6 && beat_hz < 0.5;
    const int frames = slow ? static_cast<int>(std::ceil(fps.per_s() / beat_hz)) : 150;
    const double searched = brute_force::worst_pulsing(
        as_function(light), as_camera(shot), brute_force::starts_over(1.0 / hz, slow ? 4 : 60),
        frames, pieces_for(light, shot.exposure_s));
    slow_ones += slow && kind == 1 ? 1 : 0;
    INFO("case " << i << ": " << hz << " Hz at " << fps.per_s() << ", exposure " << shot.exposure_s
                 << ", readout " << shot.readout_s);
    const Prediction p = predict(std::vector<LightShare>{{light, 1.0}}, shot, no_drift());
    check_against(p.nominal.pulse_percent, 100.0 * searched);
  }
  CHECK(slow_ones == 3);  // 23.976, 29.97 and 59.94 frames a second under 60 Hz mains
}
