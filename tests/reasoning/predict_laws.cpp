#include <algorithm>
#include <cmath>
#include <random>

#include "lampbeat/banding.hpp"
#include "lampbeat/error.hpp"
#include "lampbeat/prediction.hpp"
#include "lampbeat/visibility.hpp"
#include "reasoning/predict_lights.hpp"
#include "support/brute_force.hpp"
#include "support/catch.hpp"

using namespace lampbeat;
using namespace predict_lights;

namespace {

Prediction of(const Light& light, const Shot& shot, const PredictionOptions& options = {}) {
  return predict(std::vector<LightShare>{{light, 1.0}}, shot, options);
}

bool has(const Prediction& p, const std::string& code) {
  return std::any_of(p.findings.begin(), p.findings.end(),
                     [&](const Finding& f) { return f.code == code; });
}

}  // namespace

TEST_CASE("an exposure of whole cycles leaves no band, at any frame rate and readout") {
  std::mt19937 random(31);
  for (const double mains_hz : {50.0, 60.0}) {
    for (const FrameRate fps : frame_rates) {
      for (int cycles = 1; cycles / (2.0 * mains_hz) <= fps.frame_s(); ++cycles) {
        const Light light = locked_series(random, mains_hz, 5);
        const Prediction p = of(light, {fps, cycles / (2.0 * mains_hz),
                                        uniform(random, 0.1, 1.0) * fps.frame_s(), 1080});
        CHECK(p.nominal.band_percent < 1e-6);
        CHECK(p.nominal.pulse_percent < 1e-6);
        CHECK(p.nominal.verdict == Verdict::clean);
      }
    }
  }
}

TEST_CASE("a longer readout gives proportionally more bands") {
  const Light light = ripple(50.0, 0.3);
  for (const double readout_s : {0.004, 0.008, 0.016, 0.032}) {
    const Prediction p = of(light, {{25, 1}, 1.0 / 250.0, readout_s, 1080});
    CHECK(p.nominal.bands_per_frame == Approx(100.0 * readout_s));
  }
}

TEST_CASE("a global shutter has no bands; the same modulation pulses") {
  const Light light = ripple(50.0, 0.3);
  const Prediction p = of(light, {{60, 1}, 1.0 / 250.0, 0.0, 1080});
  CHECK(p.nominal.band_percent == 0.0);
  CHECK(p.worst.band_percent == 0.0);
  CHECK(p.nominal.bands_per_frame == 0.0);
  CHECK(p.nominal.pulse_percent > 10.0);
  CHECK(p.nominal.pulse_hz == Approx(20.0));
}

TEST_CASE("nominal is never worse than worst") {
  std::mt19937 random(32);
  for (int i = 0; i < 60; ++i) {
    const double mains_hz = i % 2 == 0 ? 50.0 : 60.0;
    Light light = locked_series(random, mains_hz, 1 + i % 4);
    if (i % 3 == 0) light.components.push_back({uniform(random, 150, 3000), 0.04, 1.0, {}});
    const FrameRate fps = frame_rates[static_cast<std::size_t>(i) % std::size(frame_rates)];
    const Shot shot{fps, uniform(random, 0.02, 1.0) * fps.frame_s(),
                    i % 5 == 0 ? 0.0 : uniform(random, 0.1, 1.0) * fps.frame_s(), 1080};
    const Prediction p = of(light, shot);
    CHECK(p.nominal.band_percent <= p.worst.band_percent);
    CHECK(p.nominal.band_stops <= p.worst.band_stops);
    CHECK(p.nominal.pulse_percent <= p.worst.pulse_percent);
    CHECK(p.nominal.visibility <= p.worst.visibility);
    CHECK(p.nominal.verdict <= p.worst.verdict);
    CHECK(std::abs(p.worst.mains_hz.value() - mains_hz) <= p.mains_tolerance_hz + 1e-9);
    CHECK(std::isfinite(p.worst.band_stops));
  }
}

TEST_CASE("worst banding is what a search over the drifting mains finds row by row") {
  std::mt19937 random(33);
  for (int i = 0; i < 5; ++i) {
    const Light light = locked_series(random, 50.0, 3);
    const Shot shot{{25, 1}, i == 0 ? 0.01 : uniform(random, 0.001, 0.035), 0.016, 120};
    double searched = 0.0;
    for (int step = -10; step <= 10; ++step) {
      Light moved = light;
      const double mains_hz = 50.0 + 0.05 * step;
      for (auto& c : moved.components) c.hz = *c.mains_order * mains_hz;
      searched = std::max(searched,
                          brute_force::worst_banding(as_function(moved), as_camera(shot),
                                                     brute_force::starts_over(0.5 / mains_hz, 60),
                                                     pieces_for(moved, shot.exposure_s)));
    }
    const Prediction p = of(light, shot);
    INFO("exposure " << shot.exposure_s);
    CHECK(100.0 * searched <= 1.001 * p.worst.band_percent + 0.001);
    CHECK(p.worst.band_percent - 100.0 * searched <= std::max(0.02 * p.worst.band_percent, 0.03));
  }
}

TEST_CASE("an exposure longer than the frame is refused, and the longest one is named") {
  const Light light = ripple(50.0, 0.3);
  CHECK_THROWS_AS(of(light, {{25, 1}, 0.0, 0.01, 1080}), UsageError);
  CHECK_THROWS_AS(of(light, {{25, 1}, -0.01, 0.01, 1080}), UsageError);
  CHECK_THROWS_AS(of(light, {{25, 1}, NAN, 0.01, 1080}), UsageError);
  CHECK_THROWS_WITH(of(light, {{25, 1}, 0.05, 0.01, 1080}), Catch::Contains("0.04 s (360°)"));
  CHECK_NOTHROW(of(light, {{25, 1}, 0.04, 0.01, 1080}));
  CHECK_NOTHROW(of(light, {{24000, 1001}, 1001.0 / 24000.0, 0.01, 1080}));
}

TEST_CASE("readouts, rows and viewing conditions that make no sense are refused") {
  const Light light = ripple(50.0, 0.3);
  CHECK_THROWS_AS(of(light, {{25, 1}, 0.01, -0.01, 1080}), UsageError);
  CHECK_THROWS_AS(of(light, {{25, 1}, 0.01, 1.01, 1080}), UsageError);
  CHECK_THROWS_AS(of(light, {{25, 1}, 0.01, 0.01, 0}), UsageError);
  PredictionOptions options;
  options.viewing.recording_bits = 9;
  CHECK_THROWS_AS(of(light, {{25, 1}, 0.01, 0.01, 1080}, options), UsageError);
  options = {};
  options.viewing.distance_heights = 0.0;
  CHECK_THROWS_AS(of(light, {{25, 1}, 0.01, 0.01, 1080}, options), UsageError);
  options = {};
  options.mains_hz = 5.0;
  CHECK_THROWS_AS(of(light, {{25, 1}, 0.01, 0.01, 1080}, options), UsageError);
  options = {};
  options.mains_tolerance_hz = -1.0;
  CHECK_THROWS_AS(of(light, {{25, 1}, 0.01, 0.01, 1080}, options), UsageError);
}

TEST_CASE("a light without flicker is clean anywhere") {
  Light steady;
  const Prediction p = of(steady, {{240, 1}, 1.0 / 2000.0, 0.004, 1080});
  CHECK(p.nominal.band_percent == 0.0);
  CHECK(p.nominal.pulse_percent == 0.0);
  CHECK(p.worst.verdict == Verdict::clean);
  CHECK_FALSE(p.mains_hz);
}

TEST_CASE("retuning moves what is locked and leaves a dimmer where it is") {
  Light light = ripple(60.0, 0.3);
  light.components.push_back({1000.0, 0.2, 0.0, {}});
  PredictionOptions options;
  options.mains_hz = 50.0;
  const Prediction p = of(light, {{25, 1}, 1.0 / 500.0, 0.016, 1080}, options);
  CHECK(p.lights[0].light.components[0].hz == 100.0);
  CHECK(p.lights[0].light.components[1].hz == 1000.0);
  CHECK(p.mains_hz == 50.0);
  CHECK(p.mains_tolerance_hz == Approx(0.5));
}

TEST_CASE("a light is judged as it was taken, and on the mains that is asked for") {
  const Light taken = ripple(60.015, 0.3);
  const Shot shot{{24, 1}, 1.0 / 60.0, 0.016, 1080};
  const Prediction as_taken = of(taken, shot);
  CHECK(as_taken.mains_hz == 60.015);
  CHECK(as_taken.nominal.roll_hz == Approx(0.03));
  PredictionOptions options;
  options.mains_hz = 60.0;
  const Prediction retuned_to_60 = of(taken, shot, options);
  CHECK(retuned_to_60.mains_hz == 60.0);
  CHECK(retuned_to_60.nominal.band_percent < 1e-6);
  CHECK(nominal_mains_hz(60.015) == 60.0);
  CHECK(nominal_mains_hz(53.0) == 53.0);  // a generator is what it is
}

TEST_CASE("lights taken on different mains are put on one, and it is said") {
  const Prediction p =
      predict(std::vector<LightShare>{{ripple(50.0, 0.3), 1.0}, {ripple(60.0, 0.2), 1.0}},
              {{25, 1}, 0.01, 0.016, 1080}, {});
  CHECK(p.mains_hz == 50.0);
  CHECK(p.nominal.band_percent < 1e-6);
  CHECK(has(p, "mixed_mains"));
}

TEST_CASE("asking to retune a light that knows no mains is answered with a finding") {
  Light dimmer;
  dimmer.components = {{1000.0, 0.5, 0.0, {}}};
  PredictionOptions options;
  options.mains_hz = 50.0;
  CHECK(has(of(dimmer, {{25, 1}, 0.01, 0.016, 1080}, options), "not_locked"));
}

TEST_CASE("flicker too fast to see live is judged as the slow motion it becomes") {
  const Shot slow{{240, 1}, 1.0 / 480.0, 0.004, 1080};
  PredictionOptions live;
  live.viewing.playback_fps = 240.0;
  const Prediction shown_slowly = of(ripple(50.0, 0.02), slow);
  CHECK(has(shown_slowly, "judged_as_slow_motion"));
  CHECK(shown_slowly.nominal.visibility > of(ripple(50.0, 0.02), slow, live).nominal.visibility);
  CHECK(shown_slowly.nominal.verdict >= Verdict::visible);
}

TEST_CASE("strong slow pulsing of the whole picture brings the photosensitivity caution") {
  // 100 % modulated 100 Hz light, 60 fps, 180°: about 19 % at 20 Hz over the whole frame.
  CHECK(has(of(ripple(50.0, 1.0), {{60, 1}, 1.0 / 120.0, 0.0, 1080}), "photosensitive_caution"));
  CHECK_FALSE(
      has(of(ripple(50.0, 0.1), {{60, 1}, 1.0 / 120.0, 0.0, 1080}), "photosensitive_caution"));
}

TEST_CASE("a pattern below the recording step is judged by the eye, which averages rows") {
  // 0.2 % at 24 standing bands: noise dithers it, and a mean over a row shows it.
  Light light;
  light.components.push_back({66000.0, 0.004, 0.0, {}});
  const Shot shot{{24, 1}, 1.0 / 500000.0, 0.016, 1080};
  const Prediction p = of(light, shot);
  REQUIRE(2.0 * p.worst.band_percent < 100.0 * recording_step(8));
  CHECK(p.worst.verdict >= Verdict::borderline);
  CHECK(has(p, "below_recording_step"));
  PredictionOptions noisy;
  noisy.viewing.noise_percent = 1.0;  // hides 0.003 % of a row's mean, no more
  CHECK(of(light, shot, noisy).worst.verdict == p.worst.verdict);
  noisy.viewing.noise_percent = 100.0;  // 0.33 %: less than the pattern still
  light.components[0].amplitude = 0.002;
  CHECK(of(light, shot, noisy).worst.verdict == Verdict::clean);
}

TEST_CASE("trade rules: exposures the trade calls safe are clean, even as the mains drifts") {
  // Common practice, no source.
  struct Rule {
    double mains_hz;
    FrameRate fps;
    double exposure_s;
  };
  const Rule rules[] = {
      {60, {24, 1}, 1.0 / 60},         {60, {30, 1}, 1.0 / 60},         {60, {60, 1}, 1.0 / 60},
      {60, {24, 1}, 1.0 / 120},        {60, {30, 1}, 1.0 / 120},        {60, {60, 1}, 1.0 / 120},
      {60, {24, 1}, 144.0 / 360 / 24}, {60, {25, 1}, 150.0 / 360 / 25}, {50, {24, 1}, 1.0 / 50},
      {50, {25, 1}, 1.0 / 50},         {50, {24, 1}, 1.0 / 100},        {50, {50, 1}, 1.0 / 100},
      {50, {24, 1}, 172.8 / 360 / 24}, {60, {24000, 1001}, 1.0 / 60}};
  for (const Rule& rule : rules) {
    const Prediction p = of(ripple(rule.mains_hz, 0.3), {rule.fps, rule.exposure_s, 0.016, 1080});
    INFO(rule.mains_hz << " Hz, " << rule.fps.per_s() << " fps, " << rule.exposure_s << " s");
    CHECK(p.nominal.band_percent < 1e-6);
    CHECK(p.nominal.verdict == Verdict::clean);
    CHECK(p.worst.verdict == Verdict::clean);
  }
}

TEST_CASE("trade rules: matching the frame rate alone does not help a short exposure") {
  // Common practice, no source: 30 fps under 60 Hz mains stands still, yet bands at 1/250.
  const Prediction p = of(ripple(60.0, 0.3), {{30, 1}, 1.0 / 250.0, 0.016, 1080});
  CHECK(p.nominal.roll_hz == 0.0);
  CHECK(p.nominal.pulse_percent == 0.0);
  CHECK(p.nominal.band_percent > 15.0);
  CHECK(p.nominal.verdict == Verdict::strong);
}

TEST_CASE("trade rules: 1/125 is not 1/120") {
  // Common practice, no source: about 4 % of the modulation is left.
  const Prediction p = of(ripple(60.0, 1.0), {{24, 1}, 1.0 / 125.0, 0.016, 1080});
  CHECK(p.nominal.band_percent == Approx(4.16).margin(0.05));
}
