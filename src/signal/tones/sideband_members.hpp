#pragma once

#include <optional>
#include <vector>

#include "signal/tones/growing_series.hpp"

namespace lampbeat::signal::tones {

/// Where a line belongs as a sum or difference of a carrier's harmonic, itself present and
/// stronger, and a multiple of another series.
std::optional<lines::TiedLine> sideband_member(const LineField& field, std::size_t line,
                                               const std::vector<GrowingSeries>& series);

}  // namespace lampbeat::signal::tones
