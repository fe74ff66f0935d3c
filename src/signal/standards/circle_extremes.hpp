#pragma once

#include <cstddef>
#include <span>

#include "lampbeat/standards.hpp"

namespace lampbeat::signal::standards {

/// As many points, spread over a record closed to a circle, as `circle_extremes` needs of one whose
/// fastest wave goes round `last` times.
std::size_t points_for_extremes(std::size_t last);

/// Highest and lowest value of a band-limited record between its points, at least eight of them to
/// a cycle of its fastest wave and a power of two in all: each crest that may be the highest is
/// followed by the polynomial through the seven points about it. Right to 2·10⁻⁴ of the fastest
/// wave, and far better for slower ones.
FilteredExtremes circle_extremes(std::span<const double> point);

}  // namespace lampbeat::signal::standards
