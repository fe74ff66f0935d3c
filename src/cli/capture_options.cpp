#include "cli/capture_options.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <chrono>
#include <cmath>

#include "cli/numbers.hpp"
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

Finding mean_from_reference(const CaptureArguments& a, const MeasurementSettings& settings) {
  return {"mean_from_reference",
          fmt::format("The mean level, {}, is that of the reference lamp of {:g} % flicker, times "
                      "{:g}: same sensor, same gain.",
                      words::measured_level(*settings.mean_level, settings.mean_level_sd),
                      *a.reference_percent, a.level_ratio.value_or(1.0))};
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

MeasureProgress progress_line(RunningLine& line) {
  return [&line, shown = std::chrono::steady_clock::now()](const Meter& meter) mutable {
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
  };
}

}  // namespace

Measurement measure_capture(const std::string& path, const CaptureArguments& arguments,
                            const MeasurementSettings& settings, const Session& session) {
  RunningLine line(session);
  const CaptureReopener open = [&](const CaptureOptions& options) {
    return open_capture(path, options);
  };
  // A pipe cannot be read again.
  Measurement m = path == "-" ? measure(*open(arguments.capture), settings, progress_line(line))
                              : measure_twice_if_covered(open, arguments.capture, settings,
                                                         progress_line(line));
  if (arguments.reference_lamp) {
    m.warnings.insert(m.warnings.begin(), mean_from_reference(arguments, settings));
  }
  return m;
}

}  // namespace lampbeat::cli
