#pragma once

#include <string_view>

#include "lampbeat/synth.hpp"

namespace lampbeat::synth {

/// Throws UsageError unless low <= value <= high (which a NaN never is). `what` starts the
/// sentence: "the sampling rate"; `unit` ends it, may be empty.
void require_within(std::string_view what, double value, double low, double high,
                    std::string_view unit);

/// Throws UsageError for a light no lamp could be.
void require_sensible(const LightRecipe& light);

/// Throws UsageError when the light is below zero at an instant, beyond rounding.
void require_light(double relative, double t_s);

}  // namespace lampbeat::synth
