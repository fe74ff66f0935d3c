#pragma once

#include <cstdint>
#include <span>

#include "signal/windows/survey.hpp"

namespace lampbeat::signal::windows {

/// A sensor's noise vanishes where the recorder is at its limit, but not on a light's own flat top:
/// the samples at the extreme when they are far quieter than those well inside the range, else 0.
/// At the low end a light that has gone out is quieter, too; there only a dead calm counts.
std::uint64_t at_quiet_rail(std::span<const double> raw, const Survey& survey, double step,
                            bool upper);

}  // namespace lampbeat::signal::windows
