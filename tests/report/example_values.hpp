#pragma once

#include <cmath>
#include <numbers>

#include "lampbeat/comparison.hpp"
#include "lampbeat/error.hpp"
#include "lampbeat/html.hpp"
#include "lampbeat/shot.hpp"

// Values of the teaching kitchen, made by hand, for tests of how results are shown.

namespace example {

inline lampbeat::Measurement panel() {
  using namespace lampbeat;
  Measurement m;
  m.capture = "captures/ceiling-panel.wav";
  m.capture_kind = "WAV, 16-bit, 48000 Hz, channel 1 of 1";
  m.samples = 144000;
  m.rate_hz = 48000.0;
  m.duration_s = 3.0;
  m.mean = 0.25123456789;
  m.percent_flicker = 38.412345678;
  m.percent_flicker_sd = 0.0312;
  m.percent_flicker_raw = 41.75;
  m.flicker_index = 0.11987654;
  m.flicker_index_sd = 0.0002;
  m.dominant_hz = 119.99834;
  m.dominant_hz_sd = 0.00042;
  m.mains_hz = 59.99917;
  m.noise_percent = 0.83;
  m.components = {{119.99834, 0.0004, 36.2, 0.02, 1.0, 12.5, 2, lampbeat::ComponentKind::mains},
                  {239.99668, 0.0008, 6.11, 0.02, 0.169, -98.0, 4, lampbeat::ComponentKind::mains},
                  {359.99502, 0.0012, 1.94, 0.02, 0.054, 171.0, 6, lampbeat::ComponentKind::mains},
                  {1987.3, 0.02, 0.71, 0.02, 0.0196, 44.0, std::nullopt,
                   lampbeat::ComponentKind::free_running}};
  m.lowpass_percent = {0.12, 0.13, 36.1, 38.0, 38.4};
  m.svm = 1.2345;
  m.ieee = Ieee1789{lampbeat::Ieee1789Level::above_low_risk, 9.6, 3.99};
  m.standards = {{"Regulation (EU) 2019/2020", "SVM", 1.2345, "", 0.9, false, "at full load"},
                 {"Regulation (EU) 2019/2020", "PstLM", std::nullopt, "", 1.0, std::nullopt,
                  "needs 180 s of light; this capture holds 3 s"},
                 {"California Title 24, JA8", "percent flicker below 200 Hz", 36.1, "%", 30.0,
                  false, "limit from memory"}};
  for (int i = 0; i < 3; ++i) {
    m.over_time.windows.push_back({i * 1.0, 1.0, 0.25, 38.0 + 0.3 * i, 0.12, 120.0});
  }
  m.over_time.median_percent_flicker = 38.3;
  m.over_time.worst_percent_flicker = 38.6;
  m.over_time.worst_start_s = 2.0;
  m.cycle.emplace().hz = 119.99834;
  for (int i = 0; i < 200; ++i) {
    const double phase = 2.0 * std::numbers::pi * i / 200.0;
    m.cycle->shape.push_back(1.0 + 0.362 * std::cos(phase + 0.2) +
                             0.061 * std::cos(2 * phase - 1.7));
  }
  m.spectrum.bin_hz = 1.0;
  unsigned state = 7;
  for (int i = 0; i <= 24000; ++i) {
    state = state * 1664525U + 1013904223U;
    double amplitude = 0.004 * (0.3 + (state >> 8) / 16777216.0);
    for (const MeasuredComponent& c : m.components) {
      const double off = i - c.hz;
      amplitude += c.percent.value_or(0.0) * std::exp(-off * off / 1.5);
    }
    m.spectrum.amplitude.push_back(amplitude);
    m.spectrum.floor.push_back(0.0032);
  }
  m.warnings = {{"dark_level_unknown",
                 "The level with the sensor covered is not known, so the mean may be off: 1 % of "
                 "full scale would move percent flicker by 1.5 points. Cover the sensor, record a "
                 "second and pass it as --dark."}};
  return m;
}

inline lampbeat::Light panel_light(double mains_hz = 60.0) {
  lampbeat::Light light;
  light.name = "ceiling panel";
  light.mains_hz = mains_hz;
  light.components = {{2 * mains_hz, 0.362, 0.2, 2}, {4 * mains_hz, 0.061, -1.7, 4}};
  light.source = "captures/ceiling-panel.wav";
  return light;
}

/// Predictions for a camera's steps, put in the planner's form.
inline lampbeat::ShutterPlan kitchen_plan(const std::vector<std::string>& shutters,
                                          const std::vector<const char*>& frame_rates = {
                                              "24", "25", "30", "50", "60", "120"}) {
  using namespace lampbeat;
  ShutterPlan plan;
  const std::vector<LightShare> lights = {{panel_light(), 1.0}};
  for (const char* rate : frame_rates) {
    const FrameRate fps = parse_frame_rate(rate);
    FrameRateOutlook outlook;
    outlook.fps = fps;
    outlook.readout_s = readout_taken_s({}, fps);
    outlook.needed_percent_flicker = 3.1;
    for (const std::string& shutter : shutters) {
      Setting s;
      try {
        s.exposure_s = parse_exposure_s(shutter, fps);
      } catch (const UsageError&) {
        continue;
      }
      const Prediction p = predict(lights, Shot{fps, s.exposure_s, outlook.readout_s, 1080}, {});
      s.fps = fps;
      const std::size_t degrees = shutter.find("deg");
      s.label = degrees == std::string::npos ? shutter : shutter.substr(0, degrees) + "°";
      s.readout_s = outlook.readout_s;
      s.shutter_deg = shutter_angle_deg(s.exposure_s, fps);
      s.nominal = p.nominal;
      s.worst = p.worst;
      s.stops_from_180deg = std::log2(s.exposure_s * 2.0 * fps.per_s());
      if (p.worst.verdict == Verdict::clean) s.mains_margin_hz = 0.31;
      outlook.any_clean = outlook.any_clean || p.worst.verdict == Verdict::clean;
      plan.settings.push_back(s);
      plan.lights = p.lights;
      plan.mains_hz = p.mains_hz;
      plan.mains_tolerance_hz = p.mains_tolerance_hz;
    }
    plan.outlooks.push_back(outlook);
  }
  return plan;
}

inline std::vector<std::string> dial() {
  return {"1/24",  "1/30",  "1/40",  "1/48",  "1/50",  "1/60",  "1/80",
          "1/100", "1/120", "1/160", "1/250", "1/500", "180deg"};
}

inline lampbeat::ShutterPlan sweep() {
  std::vector<std::string> exposures;
  for (double ms = 0.5; ms < 42.0; ms *= 1.05) exposures.push_back(std::to_string(ms) + "ms");
  return kitchen_plan(exposures);
}

/// The panel over the worktop through a year: worn, measured anew, and once through another sensor.
inline std::vector<lampbeat::Comparison> a_year() {
  using namespace lampbeat;
  std::vector<Occasion> course;
  Measurement m = panel();
  m.set_up = SetUp{0.01, {}, {}, {}};
  const char* dates[] = {"2026-01-12T08:00:00Z", "2026-04-02T08:10:00Z", "2026-07-20T07:55:00Z",
                         "2026-11-30T08:05:00Z"};
  double percent = 12.3456789;
  for (const char* date : dates) {
    Occasion o = occasion_of(m);
    o.fixture = "worktop panel";
    o.at = date;
    o.measurement_version = course.size() < 2 ? 3 : 4;
    o.figures.front().value = percent;
    o.figures.front().sd = 0.4;
    percent *= 1.2;
    course.push_back(o);
  }
  Occasion steady = course.front();
  steady.figures.front() = {
      "percent_flicker", "percent flicker", "%", FigureRole::depth, {}, {}, 0.0512};
  return {compare("worktop panel", course),
          compare("range hood", {course[2], course[3]}),
          compare("pantry", {course[1]}),
          compare("store room", {course[2], course[2]}),
          compare("cabinet strip", {course[3], course[2]}),
          compare("ceiling panel", {steady, course[1]})};
}

inline lampbeat::ShelfRating shelf() {
  using namespace lampbeat;
  const auto fixture = [](const char* name, FilmingClass filming, std::optional<double> exposure,
                          std::optional<double> fps, double percent, int rank) {
    FixtureRating f;
    f.fixture = name;
    f.capture = std::string("shelf/") + name + ".wav";
    f.filming = {filming, exposure, fps, {}, 0.25, {}};
    if (fps) f.filming.clean_180 = {{25, 1}, {static_cast<int>(*fps), 1}};
    f.percent_flicker = percent;
    f.flicker_index = percent / 320.0;
    f.dominant_hz = 120.0;
    f.svm = percent / 30.0;
    f.ieee = ieee1789(percent, 120.0);
    f.rank = rank;
    return f;
  };
  ShelfRating rating;
  rating.fixtures = {
      fixture("window panel", FilmingClass::any_shutter, 0.0, 240.0, 0.4123, 1),
      fixture("ceiling panel", FilmingClass::matched_shutters_only, 1.0 / 120.0, 60.0, 38.4, 2),
      fixture("bench strip", FilmingClass::matched_shutters_only, 1.0 / 60.0, 30.0, 61.25, 3),
      fixture("dimmed pendant", FilmingClass::no_safe_shutter, std::nullopt, std::nullopt, 99.1,
              4)};
  rating.fixtures[3].level = "20 %";
  rating.fixtures[3].captures = 3;
  rating.fixtures[3].notes = "hums when dimmed";
  rating.fixtures[3].warnings = {
      {"clipped", "0.4 % of the samples stand at the rail; lower the gain."}};
  rating.fixtures[1].standards = panel().standards;
  rating.rates = filmed_frame_rates();
  rating.failed = {{"larder tube", "shelf/tube.wav", "shelf/tube.wav: no such file"}};
  return rating;
}

/// A minute of a plain wall, two lamps' bands rolling down it.
inline lampbeat::FootageResult filmed_wall() {
  using namespace lampbeat;
  FootageResult f;
  f.clip = "clips/worktop.mp4";
  f.frames = 1500;
  f.rows = 1080;
  f.fps = FrameRate{25, 1};
  f.repeated_frames = 0;
  f.dropped_frames = 3;
  f.band_percent = 18.2345678;
  f.band_percent_sd = 0.2134;
  f.bands_per_frame = 1.9201234;
  f.bands_per_frame_sd = 0.0034;
  f.roll_hz = -5.0012345;
  f.roll_hz_sd = 0.00056;
  f.pulse_percent = 0.61234;
  f.pulse_hz = 5.0012345;
  f.readout_s = 0.0160012;
  f.readout_s_sd = 0.0000312;
  f.lights = {{119.9987655, 0.00056, "120 Hz, as given: 2 times 60 Hz mains", true},
              {130.0012345, 0.00056, "no multiple of the mains", false}};
  f.suspects = {{"worktop panel", 120.02, 17.9, -5.0, true, "its 120 Hz rolls and is as deep"},
                {"desk lamp", 1000.0, 0.2, 0.0, false, "too shallow at this shutter"}};
  f.waves = {{18.2345678, 0.2, 1.9201234, -5.0012345, {}, {"worktop panel"}},
             {1.4567, 0.1, 3.1, 2.2, {}, {}}};
  f.smallest_seen_percent = 0.0723;
  f.visibility = 27.3456;
  f.verdict = Verdict::strong;
  f.remedy = Remedy{120.0, {1.0 / 120.0, 1.0 / 60.0}, true};
  f.warnings = {{"dropped_frames", "3 frames are missing between 1500."}};
  constexpr double turn = 2.0 * std::numbers::pi;
  for (int r = 0; r < 540; ++r) {
    const double band = 0.18 * std::cos(turn * 1.92 * r / 540.0);
    f.row_pattern.push_back(band);
    f.view.row_profile.push_back(1.0 + band + 0.01 * std::sin(0.9 * r));
  }
  f.view.dark_bands = {{0.13, 0.39}, {0.651, 0.911}};
  f.view.picture.width = 96;
  f.view.picture.height = 54;
  for (int i = 0; i < 96 * 54; ++i) {
    f.view.picture.grey.push_back(
        static_cast<std::uint8_t>(120.0 + 40.0 * std::cos(turn * 1.92 * (i / 96) / 54.0)));
  }
  f.view.course = {{0.0, 24.0, 18.1}, {24.0, 48.0, 18.6}, {48.0, 60.0, std::nullopt}};
  for (int n = 0; n < 120; ++n) {
    f.view.frame_levels.push_back(1.0 + 0.003 * std::cos(turn * n / 5.0));
  }
  return f;
}

}  // namespace example
