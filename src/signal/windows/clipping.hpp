#pragma once

#include <cstdint>
#include <optional>
#include <span>

#include "signal/windows/survey.hpp"

namespace lampbeat::signal::windows {

/// Samples that sit on a rail instead of following the light.
struct Clipping {
  std::uint64_t high = 0;
  std::uint64_t low = 0;
  Clipping& operator+=(const Clipping& more) {
    high += more.high;
    low += more.low;
    return *this;
  }
};

/// What is known of the recorder's limits, in raw sample units.
struct Rails {
  std::optional<double> low;
  std::optional<double> high;
  std::optional<double> step;  ///< quantisation step
  double dark = 0.0;           ///< reading without light
  /// The window holds one light all along. Where one gives way to another, the flat top of the one
  /// may lie just where the other's crests end: only known rails are looked for there.
  bool one_light = true;
};

/// Counts clipped samples in one window of raw samples. At known rails every run of two or more
/// samples counts. At unknown rails a flat extreme counts when the signal approaches it gradually
/// and then stays exactly there much longer than a crest would: a square wave jumps to its top and
/// is not taken for a clipped one, nor is a dark gap (light that goes out) at the dark level. So
/// does a flat extreme on which the noise that rides on all other samples has vanished. `survey` is
/// of `raw`.
Clipping find_clipping(std::span<const double> raw, const Survey& survey, const Rails& rails);

}  // namespace lampbeat::signal::windows
