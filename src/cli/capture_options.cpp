#include "cli/capture_options.hpp"

#include <fmt/format.h>

#include <chrono>
#include <cmath>

#include "cli/numbers.hpp"
#include "lampbeat/error.hpp"
#include "lampbeat/meter.hpp"
#include "lampbeat/prediction.hpp"
#include "words/foreign_text.hpp"
#include "words/number_reader.hpp"

namespace lampbeat::cli {

namespace {

/// A capture made with the sensor covered.
DarkRecording dark_of(const std::string& path, CaptureOptions options) {
  options.from_s = 0.0;
  options.for_s.reset();
  const auto source = open_capture(path, options);
  return dark_recording(*source);
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
  add_number(command, "--coupling-corner", a.settings.coupling_corner_hz, "HZ",
             "undo this AC coupling (first-order high-pass); needs --mean")
      ->check(positive("a number of hertz"))
      ->needs("--mean");
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
  return result;
}

std::string CaptureArguments::dark_file() const {
  return dark && !words::number_in(*dark) ? *dark : std::string();
}

Measurement measure_capture(const std::string& path, const CaptureArguments& arguments,
                            const MeasurementSettings& settings, const Session& session) {
  const auto source = open_capture(path, arguments.capture);
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

}  // namespace lampbeat::cli
