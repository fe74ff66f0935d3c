#include <algorithm>
#include <cmath>
#include <random>

#include "lampbeat/banding.hpp"
#include "lampbeat/error.hpp"
#include "lampbeat/prediction.hpp"
#include "lampbeat/visibility.hpp"
#include "reasoning/predict_lights.hpp"
#include "support/catch.hpp"
#include "support/findings.hpp"

using namespace lampbeat;
using namespace predict_lights;
using lampbeat::test::has_finding;

namespace {

Prediction of(const Light& light, const Shot& shot, const PredictionOptions& options = {}) {
  return predict(std::vector<LightShare>{{light, 1.0}}, shot, options);
}

}  // namespace

TEST_CASE("an exposure of whole cycles leaves no band, at any frame rate and readout") {
  std::mt19937 random(31);
  for (const double mains_hz : {50.0, 60.0}) {
    for (const FrameRate fps : frame_rates) {
      for (int cycles = 1; cycles / (2.0 * mains_hz) <= fps.frame_s(); ++cycles) {
        const Light light = locked_series(random, mains_hz, 5);
        const Prediction p = of(light, {fps, cycles / (2.0 * mains_hz),
                                        between(random, 0.1, 1.0) * fps.frame_s(), 1080});
        CHECK(p.nominal.band_percent < 1e-6);
        CHECK(p.nominal.pulse_percent < 1e-6);
        CHECK(p.nominal.verdict == Verdict::clean);
      }
    }
  }
}

TEST_CASE("a longer readout gives proportionally more bands") {
  const Light light = mains_ripple(50.0, 0.3);
  for (const double readout_s : {0.004, 0.008, 0.016, 0.032}) {
    const Prediction p = of(light, {{25, 1}, 1.0 / 250.0, readout_s, 1080});
    CHECK(p.nominal.bands_per_frame == Approx(100.0 * readout_s));
  }
}

TEST_CASE("a global shutter has no bands; the same modulation pulses") {
  const Light light = mains_ripple(50.0, 0.3);
  const Prediction p = of(light, {{60, 1}, 1.0 / 250.0, 0.0, 1080});
  CHECK(p.nominal.band_percent == 0.0);
  CHECK(p.worst.band_percent == 0.0);
  CHECK(p.nominal.bands_per_frame == 0.0);
  CHECK(p.nominal.pulse_percent > 10.0);
  CHECK(p.nominal.pulse_hz == Approx(20.0));
}

TEST_CASE("an exposure longer than the frame is refused, and the longest one is named") {
  const Light light = mains_ripple(50.0, 0.3);
  CHECK_THROWS_AS(of(light, {{25, 1}, 0.0, 0.01, 1080}), UsageError);
  CHECK_THROWS_AS(of(light, {{25, 1}, -0.01, 0.01, 1080}), UsageError);
  CHECK_THROWS_AS(of(light, {{25, 1}, NAN, 0.01, 1080}), UsageError);
  CHECK_THROWS_WITH(of(light, {{25, 1}, 0.05, 0.01, 1080}), Catch::Contains("0.04 s (360°)"));
  CHECK_NOTHROW(of(light, {{25, 1}, 0.04, 0.01, 1080}));
  CHECK_NOTHROW(of(light, {{24000, 1001}, 1001.0 / 24000.0, 0.01, 1080}));
}

TEST_CASE("readouts, rows and viewing conditions that make no sense are refused") {
  const Light light = mains_ripple(50.0, 0.3);
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
  Light light = mains_ripple(60.0, 0.3);
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
  Light taken = mains_ripple(60.015, 0.3);
  taken.other_states.push_back({"later", 60.015, mains_ripple(60.015, 0.1).components, {}, 0.0});
  const Shot shot{{24, 1}, 1.0 / 60.0, 0.016, 1080};
  const Prediction as_taken = of(taken, shot);
  CHECK(as_taken.mains_hz == 60.015);
  CHECK(as_taken.nominal.roll_hz == Approx(0.03));
  PredictionOptions options;
  options.mains_hz = 60.0;
  const Prediction retuned_to_60 = of(taken, shot, options);
  CHECK(retuned_to_60.mains_hz == 60.0);
  CHECK(retuned_to_60.nominal.band_percent < 1e-6);
  const Light& judged = retuned_to_60.lights.front().light;
  CHECK(judged.components.front().hz == 120.0);
  CHECK(judged.other_states.front().components.front().hz == 120.0);  // one mains, every state
  CHECK(nominal_mains_hz(60.015) == 60.0);
  CHECK(nominal_mains_hz(53.0) == 53.0);  // a generator is what it is
}

TEST_CASE("lights taken on different mains are put on one, and it is said") {
  const Prediction p = predict(
      std::vector<LightShare>{{mains_ripple(50.0, 0.3), 1.0}, {mains_ripple(60.0, 0.2), 1.0}},
      {{25, 1}, 0.01, 0.016, 1080}, {});
  CHECK(p.mains_hz == 50.0);
  CHECK(p.nominal.band_percent < 1e-6);
  CHECK(has_finding(p.findings, "mixed_mains"));
}

TEST_CASE("asking to retune a light that knows no mains is answered with a finding") {
  Light dimmer;
  dimmer.components = {{1000.0, 0.5, 0.0, {}}};
  PredictionOptions options;
  options.mains_hz = 50.0;
  CHECK(has_finding(of(dimmer, {{25, 1}, 0.01, 0.016, 1080}, options).findings, "not_locked"));
}

TEST_CASE("flicker too fast to see live is judged as the slow motion it becomes") {
  const Shot slow{{240, 1}, 1.0 / 480.0, 0.004, 1080};
  PredictionOptions live;
  live.viewing.playback_fps = 240.0;
  const Prediction shown_slowly = of(mains_ripple(50.0, 0.02), slow);
  CHECK(has_finding(shown_slowly.findings, "judged_as_slow_motion"));
  CHECK(shown_slowly.nominal.visibility >
        of(mains_ripple(50.0, 0.02), slow, live).nominal.visibility);
  CHECK(shown_slowly.nominal.verdict >= Verdict::visible);
}

TEST_CASE("strong slow pulsing of the whole picture brings the photosensitivity caution") {
  // 100 % modulated 100 Hz light, 60 fps, 180°: about 19 % at 20 Hz over the whole frame.
  CHECK(has_finding(of(mains_ripple(50.0, 1.0), {{60, 1}, 1.0 / 120.0, 0.0, 1080}).findings,
                    "photosensitive_caution"));
  CHECK_FALSE(has_finding(of(mains_ripple(50.0, 0.1), {{60, 1}, 1.0 / 120.0, 0.0, 1080}).findings,
                          "photosensitive_caution"));
}

TEST_CASE("a pattern below the recording step is judged by the eye, which averages rows") {
  // 0.2 % at 24 standing bands: noise dithers it, and a mean over a row shows it.
  Light light;
  light.components.push_back({66000.0, 0.004, 0.0, {}});
  const Shot shot{{24, 1}, 1.0 / 500000.0, 0.016, 1080};
  const Prediction p = of(light, shot);
  REQUIRE(2.0 * p.worst.band_percent < 100.0 * recording_step(8));
  CHECK(p.worst.verdict >= Verdict::borderline);
  CHECK(has_finding(p.findings, "below_recording_step"));
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
    const Prediction p =
        of(mains_ripple(rule.mains_hz, 0.3), {rule.fps, rule.exposure_s, 0.016, 1080});
    INFO(rule.mains_hz << " Hz, " << rule.fps.per_s() << " fps, " << rule.exposure_s << " s");
    CHECK(p.nominal.band_percent < 1e-6);
    CHECK(p.nominal.verdict == Verdict::clean);
    CHECK(p.worst.verdict == Verdict::clean);
  }
}

TEST_CASE("trade rules: matching the frame rate alone does not help a short exposure") {
  // Common practice, no source: 30 fps under 60 Hz mains stands still, yet bands at 1/250.
  const Prediction p = of(mains_ripple(60.0, 0.3), {{30, 1}, 1.0 / 250.0, 0.016, 1080});
  CHECK(p.nominal.roll_hz == 0.0);
  CHECK(p.nominal.pulse_percent == 0.0);
  CHECK(p.nominal.band_percent > 15.0);
  CHECK(p.nominal.verdict == Verdict::strong);
}

TEST_CASE("trade rules: 1/125 is not 1/120") {
  // Common practice, no source: about 4 % of the modulation is left.
  const Prediction p = of(mains_ripple(60.0, 1.0), {{24, 1}, 1.0 / 125.0, 0.016, 1080});
  CHECK(p.nominal.band_percent == Approx(4.16).margin(0.05));
}
