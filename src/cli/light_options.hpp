#pragma once

#include <CLI/CLI.hpp>
#include <optional>
#include <string>
#include <vector>

#include "cli/output_guard.hpp"
#include "cli/session.hpp"
#include "lampbeat/prediction.hpp"
#include "lampbeat/text_style.hpp"

namespace lampbeat::cli {

/// The lights of the room and what is assumed about mains and viewing: shared by predict and
/// shutters.
struct LightArguments {
  std::vector<std::string> lights;       ///< PROFILE or CAPTURE, each with an optional :SHARE
  std::vector<std::string> frequencies;  ///< HZ, each with an optional :SHARE
  std::vector<std::string> typicals;     ///< NAME, each with an optional :SHARE
  bool list_typical = false;
  std::optional<double> mains_hz;
  std::optional<double> mains_tolerance_hz;
  std::optional<double> clock_tolerance_percent;
  double viewing_distance = Viewing{}.distance_heights;
  double screen_cd_m2 = Viewing{}.screen_cd_m2;
  std::optional<std::string> playback;  ///< frame rate the clip is shown at
  std::optional<double> camera_noise_percent;
  int bits = Viewing{}.recording_bits;

  PredictionOptions options() const;
};

/// --clock-tolerance PERCENT
void add_clock_tolerance(CLI::App& command, std::optional<double>& percent);

/// Those of the mains, the clocks and the viewing alone.
void add_circumstance_options(CLI::App& command, LightArguments& arguments);

void add_light_options(CLI::App& command, LightArguments& arguments);

/// A saved profile, or a capture, which is measured.
Light light_from_file(const std::string& path, const Session& session);

/// Reads, measures or looks up every light asked for. Throws UsageError when none was.
std::vector<LightShare> lights_asked_for(const LightArguments& arguments, const Session& session);

/// The files behind --light.
std::vector<NamedFile> light_files(const LightArguments& arguments);

/// The list of generic sources, as text.
std::string typical_list(const TextStyle& style);

}  // namespace lampbeat::cli
