#pragma once

#include <cstdint>
#include <span>

#include "lampbeat/window.hpp"

namespace lampbeat::signal::left_over {

/// Readings that nothing explains: short flashes and gaps.
struct Strays {
  std::uint64_t samples = 0;
  double off = 0.0;  ///< how far off the fourth worst of one window was, sample units
  double at_s = 0.0;
  double scatter_sd = 0.0;  ///< robust, of most stretches of the window that scatters most
};

/// Looks for readings far outside the scatter of their neighbourhood: more than eight robust
/// standard deviations (1.4826 times the median distance from the median) and more than `least`.
/// Fewer than four in a window are the recorder's, not the light's. `rest` is `light` with its
/// rhythms taken out. A light that is switched between two flat levels in pulses all alike has
/// none: where rhythms do not say when it switches, that is not light that strays.
Strays strays_in(std::span<const double> rest, double least, double start_s, const Window& light);

/// The two together.
void join(Strays& all, const Strays& more);

}  // namespace lampbeat::signal::left_over
