#pragma once

#include <CLI/CLI.hpp>
#include <optional>
#include <string>
#include <vector>

#include "cli/session.hpp"
#include "lampbeat/synth.hpp"

namespace lampbeat::cli {

/// A light as described on the command line.
struct DescribedLight {
  std::optional<double> mains_hz;
  std::string typical;
  std::vector<std::string> components;  ///< HZ:PERCENT[:PHASE_DEG]
  std::optional<double> rectified_percent;
  std::string pwm;  ///< HZ:DUTY
};

/// Declares the options that describe a light.
void add_light_options(CLI::App& command, DescribedLight& light);

/// What they add up to. Throws UsageError for what cannot be read, and when nothing was described.
/// Says so when it had to assume a mains frequency.
LightRecipe light_recipe(const DescribedLight& described, const Session& session);

}  // namespace lampbeat::cli
