#pragma once

#include <CLI/CLI.hpp>
#include <optional>

#include "cli/practice_file.hpp"
#include "cli/session.hpp"
#include "lampbeat/synth.hpp"

namespace lampbeat::cli {

/// In which a table counts its times.
enum class TimeUnit { s, ms, us };

/// The sensor of a practice capture, as described on the command line.
struct DescribedSensor {
  SensorRecipe recipe;          ///< as far as its own options say; the rest is the file's
  std::optional<double> level;  ///< default: the usual one, lower where the light peaks
  bool counts = false;
  TimeUnit time_unit = TimeUnit::s;
};

/// Declares the options that describe a sensor.
void add_sensor_options(CLI::App& command, DescribedSensor& sensor);

/// Samples this light as a sound file or a table, as the file is named.
/// Throws UsageError for what does not go together, OutputError when it cannot be written.
void make_capture(const LightRecipe& light, const DescribedSensor& described,
                  const PracticeFile& file, const Session& session);

}  // namespace lampbeat::cli
