#include <algorithm>
#include <cmath>

#include "signal/measurement/doubts.hpp"
#include "support/catch.hpp"

using namespace lampbeat;

namespace {

/// A second of a light rippling at 100 Hz about which there is nothing to doubt.
struct Beyond {
  CaptureFormat format;
  MeasurementSettings settings;
  signal::windows::Readings readings;
  signal::states::Epoch epoch{ToneAnalysis{}, 0.0};
  signal::states::JudgedState state;
  Measurement figures;
  Findings clock;
  signal::left_over::Extremes extremes;

  Beyond() {
    settings.dark_level = 0.01;
    readings.samples = 20000;
    readings.end_s = 1.0;
    readings.lowest = 0.2;
    readings.highest = 0.4;
    state.epoch = &epoch;
    state.tones.analysed = true;
    state.tones.mean = 0.3;
    state.tones.series = {{SeriesKind::mains_locked, 50.0, 0.001, 0, {Tone{100.0, 0.1}}}};
    state.tones.series[0].tones[0].order = 2;
    figures.percent_flicker = 33.0;
    figures.dominant_hz = 100.0;
  }
  Findings doubts() const {
    const signal::states::CaptureFacts capture{format, settings, readings,    extremes,
                                               {},     20000.0,  std::nullopt};
    return signal::measurement::note_doubts({capture, state, figures, clock, 1});
  }
};

bool says(const Findings& doubts, const char* code) {
  return std::any_of(doubts.begin(), doubts.end(),
                     [&](const Finding& f) { return f.code == code; });
}

}  // namespace

TEST_CASE("a capture beyond doubt is not doubted") { CHECK(Beyond().doubts().empty()); }

TEST_CASE("each doubt follows from its own fact") {
  const auto only = [](const char* code, const auto& change) {
    Beyond facts;
    change(facts);
    const Findings doubts = facts.doubts();
    CAPTURE(code, doubts.size());
    return doubts.size() == 1 && says(doubts, code);
  };
  CHECK(only("dark_level_unknown", [](Beyond& f) { f.settings.dark_level.reset(); }));
  CHECK(only("clipped", [](Beyond& f) {
    f.state.trust.clipped = true;
    f.readings.clipping.high = 300;
  }));
  CHECK(only("no_dc_level", [](Beyond& f) { f.state.trust.no_dc = true; }));
  CHECK(only("rate_too_low", [](Beyond& f) { f.state.trust.rate_marginal = true; }));
  CHECK(only("too_short", [](Beyond& f) { f.state.trust.short_capture = true; }));
  CHECK(only("too_short", [](Beyond& f) { f.figures.percent_flicker.reset(); }));
  CHECK(only("uneven_sampling", [](Beyond& f) {
    f.readings.all_even = false;
    f.readings.jitter_percent = 5.5;
  }));
  CHECK(only("hum_taken_out", [](Beyond& f) { f.state.hum = {{50.0, 0.001, 0.002}}; }));
  CHECK(only("several_rhythms", [](Beyond& f) { f.epoch.figures.unrelated_rhythms = 2; }));
  CHECK(only("level_drift", [](Beyond& f) {
    f.epoch.figures.lowest_mean = 0.29;
    f.epoch.figures.highest_mean = 0.3;
  }));
  CHECK(only("frequency_wanders", [](Beyond& f) { f.clock = {{"frequency_wanders", "it does"}}; }));
  CHECK(only("uneven_half_cycles", [](Beyond& f) {
    MeasuredComponent ripple, half;
    ripple.mains_order = 2;
    half.mains_order = 1;
    f.settings.dark = DarkRecording{};  // and what is in both is no light
    half.hz = 50.0;
    half.percent = 0.4;
    f.figures.components = {ripple, half};
  }));
  CHECK(only("pst_needs_180_s", [](Beyond& f) {
    MeasuredComponent slow;
    slow.hz = 9.0;
    slow.percent = 0.5;
    f.figures.components = {slow};
  }));
}

TEST_CASE("a light seen too briefly is told how long, in the state that was judged") {
  const auto message = [](const auto& change) {
    Beyond facts;
    facts.state.trust.seconds = facts.readings.end_s;
    facts.state.trust.slowest_hz = 100.0;
    change(facts);
    const Findings doubts = facts.doubts();
    REQUIRE(says(doubts, "too_short"));
    return doubts.front().message;
  };
  // A state of 25 ms in a capture of a second.
  CHECK(message([](Beyond& f) {
          f.state.trust.too_short = true;
          f.state.trust.seconds = 0.025;
        }).starts_with("The state of the light described here lasts 0.025 s, 2.5 cycles"));
  // Cycles of the slower of two rhythms, though the faster is the stronger.
  CHECK(message([](Beyond& f) {
          f.state.trust.too_short = true;
          f.state.trust.slowest_hz = 2.0;
        }).starts_with("The capture lasts 1 s, 2.0 cycles"));
  CHECK(message([](Beyond& f) {
          f.readings.end_s = 0.5;
          f.state.trust.short_capture = true;
          f.state.trust.slowest_hz.reset();
        }).starts_with("The capture lasts 0.5 s, 20000 readings in which no rhythm shows"));
}

TEST_CASE("small facts raise no doubt") {
  Beyond facts;
  facts.readings.all_even = false;
  facts.readings.jitter_percent = 4.9;
  facts.epoch.figures.lowest_mean = 0.2945;  // 1.8 % of the level
  facts.epoch.figures.highest_mean = 0.3;
  facts.epoch.figures.unrelated_rhythms = 1;
  facts.figures.lowpass_percent[Ja10CutOff::at_1000_hz] = 12.0;  // at the 20 kHz JA10 asks for
  CHECK(facts.doubts().empty());
}

TEST_CASE("a line at the mains may be hum until a recording of the covered sensor tells") {
  Beyond facts;
  MeasuredComponent ripple, half;
  ripple.mains_order = 2;
  half.mains_order = 1;
  half.hz = 50.0;
  facts.figures.components = {ripple, half};
  half.percent = 0.4;
  facts.figures.components[1] = half;
  CHECK(says(facts.doubts(), "hum_suspected"));
  CHECK(says(facts.doubts(), "uneven_half_cycles"));
  half.percent = 0.2;  // too little for a word
  facts.figures.components[1] = half;
  CHECK_FALSE(says(facts.doubts(), "hum_suspected"));
  half.percent.reset();  // a recording without its level
  half.relative = 0.05;
  facts.figures.components[1] = half;
  CHECK(says(facts.doubts(), "hum_suspected"));
  facts.settings.dark = DarkRecording{};
  CHECK_FALSE(says(facts.doubts(), "hum_suspected"));
}

TEST_CASE("corners on top are doubted unless the user knows which way up it is") {
  const auto harmonic = [](int order, double relative, double phase_deg) {
    MeasuredComponent c;
    c.mains_order = order;
    c.hz = 50.0 * order;
    c.relative = relative;
    c.percent = 30.0 * relative;
    c.phase_deg = phase_deg;
    return c;
  };
  // Fourier series of |sin|: amplitudes as 1/3, 1/15, 1/35, all against the cosine at its corner.
  const auto facts = [&](double corner_deg, double at_start_deg) {
    Beyond f;
    for (const int k : {1, 2, 3}) {
      const double relative = 3.0 / (4.0 * k * k - 1.0);
      f.figures.components.push_back(
          harmonic(2 * k, relative, std::remainder(corner_deg + k * at_start_deg, 360.0)));
    }
    return f;
  };
  for (const double start_deg : {0.0, 50.0, -120.0, 179.0}) {
    CAPTURE(start_deg);
    Beyond upside_down = facts(0.0, start_deg);
    CHECK(says(upside_down.doubts(), "polarity_unknown"));
    CHECK_FALSE(says(facts(180.0, start_deg).doubts(), "polarity_unknown"));
    upside_down.settings.upright = true;
    CHECK_FALSE(says(upside_down.doubts(), "polarity_unknown"));
  }
}
