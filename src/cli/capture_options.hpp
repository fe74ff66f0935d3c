#pragma once

#include <CLI/CLI.hpp>
#include <optional>
#include <string>

#include "cli/session.hpp"
#include "lampbeat/capture.hpp"
#include "lampbeat/measurement.hpp"

namespace lampbeat::cli {

/// How captures are read and what is known of the sensor: shared by every command that measures.
struct CaptureArguments {
  CaptureOptions capture;
  std::optional<std::string> dark;  ///< a level or a file
  std::string mains = "auto";
  MeasurementSettings settings;
  std::optional<std::string> reference_lamp;  ///< a file
  std::optional<double> reference_percent;
  std::optional<double> level_ratio;

  /// The settings with `dark` and `mains` read; measures the dark capture, where it is a file, and
  /// the reference lamp.
  MeasurementSettings resolved() const;
  /// The file --dark names; empty when it names a level or was not given.
  std::string dark_file() const;

 private:
  void take_reference(MeasurementSettings& settings) const;
};

void add_capture_options(CLI::App& command, CaptureArguments& arguments);
/// Options about the sensor that make sense for a single careful measurement.
void add_sensor_options(CLI::App& command, CaptureArguments& arguments);

/// Opens, reads and measures one capture, with a running line on a terminal. One that lost its
/// level, while its sensor was covered and uncovered, is read again to find it (not from a pipe).
Measurement measure_capture(const std::string& path, const CaptureArguments& arguments,
                            const MeasurementSettings& settings, const Session& session);

}  // namespace lampbeat::cli
