#include "cli/capture_options.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <chrono>
#include <cmath>

#include "cli/numbers.hpp"
#include "lampbeat/covering.hpp"
#include "lampbeat/error.hpp"
#include "lampbeat/meter.hpp"
#include "lampbeat/prediction.hpp"
#include "lampbeat/reference_lamp.hpp"
#include "words/foreign_text.hpp"
#include "words/number_reader.hpp"
#include "words/numbers.hpp"
#include "words/units.hpp"

namespace lampbeat::cli {

namespace {

/// A capture made with the sensor covered.
DarkRecording dark_of(const std::string& path, CaptureOptions options) {
  options.from_s = 0.0;
  options.for_s.reset();
  const auto source = open_capture(path, options);
  return dark_recording(*source);
}

std::string level_words(double level, double sd) {
  constexpr int digits_of_sd = 2;
  constexpr int most_decimals = 9;
  return words::with_uncertainty(level, sd, words::decimals_for(sd, digits_of_sd, most_decimals),
                                 "");
}

Finding mean_from_reference(const CaptureArguments& a, const MeasurementSettings& settings) {
  return {"mean_from_reference",
          fmt::format("The mean level, {}, is that of the reference lamp of {:g} % flicker, times "
                      "{:g}: same sensor, same gain.",
                      level_words(*settings.mean_level, settings.mean_level_sd),
                      *a.reference_percent, a.level_ratio.value_or(1.0))};
}

std::string steps_words(const Covering& c) {
  return c.steps == 1
             ? "the step where the sensor was covered or uncovered"
             : fmt::format("the {} steps where the sensor was covered and uncovered", c.steps);
}

Finding mean_from_covering(const Covering& c) {
  return {"mean_from_covering",
          fmt::format("The recording lost its level, and {} give{} it back: the mean is {}. "
                      "Measured from {:.1f} s to {:.1f} s, while the sensor saw the light.",
                      steps_words(c), c.steps == 1 ? "s" : "",
                      level_words(c.mean_level, c.mean_level_sd), c.from_s, c.to_s)};
}

Finding covering_says_nothing(const Covering& c) {
  return {"covering_unclear",
          fmt::format("The recording lost its level, and {} cannot give it back: {}. Cover the "
                      "sensor quickly and wholly, twice or more, with automatic gain off and "
                      "without reaching the end of the scale.",
                      steps_words(c), c.why_not.empty() ? "they lead down" : c.why_not)};
}

Finding reads_lower_in_the_light(const Covering& c) {
  return {"polarity_unknown",
          fmt::format("By {}, this sensor reads lower in more light. If it was you who covered it, "
                      "and not the lamp that became steady and brighter, --invert lets the "
                      "recording tell its mean and its depth.",
                      steps_words(c))};
}

}  // namespace

void add_capture_options(CLI::App& command, CaptureArguments& a) {
  add_number(command, "--rate", a.capture.rate_hz, "HZ",
             "samples a second, for tables without times")
      ->check(positive("a number of hertz"));
  command.add_option("--time", a.capture.time_column, "column of the times: header name or number")
      ->type_name("COL");
  command
      .add_option("--value", a.capture.value_column,
                  "column of the readings: header name or number")
      ->type_name("COL");
  command.add_option("--channel", a.capture.channel, "channel of a sound file, from 1")
      ->type_name("N")
      ->check(number_between(1, 1024, "a channel number"));
  take_written(command.add_option("--from", a.capture.from_s, "skip this many seconds"),
               Unit::seconds)
      ->type_name("S")
      ->check(number_between(0, 1e9, "seconds"));
  add_number(command, "--for", a.capture.for_s, "S", "then use this many seconds")
      ->check(positive("a number of seconds"));
  command.add_flag("--invert", a.capture.invert,
                   "the sensor reads lower in more light: turn every reading over");
  command.add_flag("--skip-bad-rows", a.capture.skip_bad_rows,
                   "leave out rows of a table that cannot be read, at most 1 %, and say where");
  add_number(command, "--clock-ppm", a.capture.clock_ppm, "N",
             "how far the recorder's clock may be off, parts in a million (default: 50 for sound "
             "files, 5000 for tables that count ms or us, else 100)")
      ->check(number_between(0, 1e5, "parts in a million"));
  command.add_option("--dark", a.dark, "reading with the sensor covered, or a capture of it")
      ->type_name("LEVEL|FILE");
  command.add_option("--mains", a.mains, "mains frequency; auto finds it in the light")
      ->type_name("HZ|auto");
}

void add_sensor_options(CLI::App& command, CaptureArguments& a) {
  add_number(command, "--mean", a.settings.mean_level, "LEVEL",
             "true mean level of an AC-coupled recording, in its own units")
      ->check(positive("a level"));
  command
      .add_flag("--upright", a.settings.upright,
                "more light reads higher: said of a recording that does not show it")
      ->excludes("--invert");
  command
      .add_option("--reference-lamp", a.reference_lamp,
                  "a capture by the same sensor and gain of a lamp of known percent flicker: gives "
                  "an AC-coupled recording its mean; needs --reference-percent")
      ->type_name("FILE")
      ->excludes("--mean");
  add_number(command, "--reference-percent", a.reference_percent, "P",
             "percent flicker of that lamp")
      ->check(number_between(0, 100, "a percentage"))
      ->needs("--reference-lamp");
  add_number(command, "--level-ratio", a.level_ratio, "R",
             "mean illuminance of this lamp over that of the reference lamp (default 1)")
      ->check(positive("a ratio"))
      ->needs("--reference-lamp");
  add_number(command, "--coupling-corner", a.settings.coupling_corner_hz, "HZ",
             "undo this AC coupling (first-order high-pass)")
      ->check(positive("a number of hertz"));
  add_number(command, "--sensor-corner", a.settings.sensor_corner_hz, "HZ",
             "undo this sensor bandwidth (first-order low-pass)")
      ->check(positive("a number of hertz"));
}

MeasurementSettings CaptureArguments::resolved() const {
  MeasurementSettings result = settings;
  if (mains != "auto") {
    result.mains_hz = number_from(mains, Unit::hertz);
    if (!result.mains_hz || !is_mains_hz(*result.mains_hz)) {
      throw UsageError(
          fmt::format("--mains expects 50, 60, another number of hertz, or auto; got '{}'",
                      words::excerpt(mains)));
    }
  }
  if (dark) {
    result.dark_level = words::number_in(*dark);
    // As read from the sensor, like the capture's own readings.
    if (result.dark_level && capture.invert) *result.dark_level = -*result.dark_level;
    if (!result.dark_level) {
      result.dark = dark_of(*dark, capture);
      result.dark_level = result.dark->level;
    }
    if (!std::isfinite(*result.dark_level)) throw UsageError("--dark expects a finite level");
  }
  take_reference(result);
  return result;
}

void CaptureArguments::take_reference(MeasurementSettings& result) const {
  if (!reference_lamp) return;
  if (!reference_percent) {
    throw UsageError(
        "--reference-lamp needs the lamp's percent flicker: --reference-percent P, above 0 and at "
        "most 100");
  }
  if (*reference_lamp == "-") {
    throw UsageError("--reference-lamp is read more than once and cannot come from a pipe");
  }
  CaptureOptions options = capture;
  options.from_s = 0.0;
  options.for_s.reset();
  const KnownMean reference = mean_by_percent(
      [&] { return open_capture(*reference_lamp, options); }, *reference_percent, result);
  result.mean_level = reference.level * level_ratio.value_or(1.0);
  result.mean_level_sd = reference.sd * level_ratio.value_or(1.0);
}

std::string CaptureArguments::dark_file() const {
  return dark && !words::number_in(*dark) ? *dark : std::string();
}

namespace {

Measurement measured_once(const std::string& path, const CaptureOptions& options,
                          const MeasurementSettings& settings, const Session& session) {
  const auto source = open_capture(path, options);
  RunningLine line(session);
  auto shown = std::chrono::steady_clock::now();
  return measure(*source, settings, [&](const Meter& meter) {
    const auto now = std::chrono::steady_clock::now();
    if (now - shown < std::chrono::milliseconds(250)) return;
    shown = now;
    std::string text = fmt::format("{:.0f} s read", meter.seconds_fed());
    if (const WindowFigures* latest = meter.latest()) {
      if (latest->percent_flicker)
        text += fmt::format(", {:.1f} % flicker", *latest->percent_flicker);
      if (latest->dominant_hz) text += fmt::format(" at {:.2f} Hz", *latest->dominant_hz);
    }
    line.show(text);
  });
}

bool lost_its_level(const Measurement& m) {
  return !m.mean && m.dominant_hz && m.rate_hz && has_finding(m.warnings, "no_dc_level");
}

/// Where the sensor was covered while it recorded, the mean is in the recording itself: measured
/// again with it, in the longest stretch in the light.
Measurement measured_with_covering(const Measurement& without, const std::string& path,
                                   CaptureOptions options, MeasurementSettings settings,
                                   const Session& session) {
  const auto source = open_capture(path, options);
  const std::optional<Covering> found = covering(*source, *without.dominant_hz, *without.rate_hz);
  if (!found) return without;
  if (found->to_s > found->from_s) {
    options.from_s += found->from_s;
    options.for_s = found->to_s - found->from_s;
  }
  const bool turned = found->upside_down && !settings.upright;
  const bool tells = found->why_not.empty() && !found->upside_down;
  if (tells) {
    settings.mean_level = found->mean_level;
    settings.mean_level_sd = found->mean_level_sd;
    settings.upright = !options.invert;
    if (!settings.coupling_corner_hz) settings.coupling_corner_hz = found->coupling_corner_hz;
  }
  Measurement with = measured_once(path, options, settings, session);
  with.warnings.insert(with.warnings.begin(), tells    ? mean_from_covering(*found)
                                              : turned ? reads_lower_in_the_light(*found)
                                                       : covering_says_nothing(*found));
  return with;
}

}  // namespace

Measurement measure_capture(const std::string& path, const CaptureArguments& arguments,
                            const MeasurementSettings& settings, const Session& session) {
  Measurement m = measured_once(path, arguments.capture, settings, session);
  if (arguments.reference_lamp) {
    m.warnings.insert(m.warnings.begin(), mean_from_reference(arguments, settings));
  }
  // A pipe cannot be read again.
  if (!lost_its_level(m) || path == "-") return m;
  return measured_with_covering(m, path, arguments.capture, settings, session);
}

}  // namespace lampbeat::cli
