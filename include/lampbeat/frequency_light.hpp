#pragma once

#include <optional>
#include <span>

#include "lampbeat/light.hpp"

namespace lampbeat {

struct LightShare;

/// Any light of this frequency, whatever its waveform, short flashes included; for planning where
/// nothing else is known. At 50 or 60 Hz, at `mains_hz`, or at twice one of them, each within its
/// tolerance, it is locked to that mains, else it runs free. Throws UsageError unless `hz` lies
/// between 1 Hz and 1 MHz.
///
/// What a row or a frame collects is linear in the waveform, and the contrast of two of them is
/// quasi-convex in it. So over all non-negative waveforms of one period and one mean the contrast
/// is greatest for a flash of no length: every other waveform is a mixture of such flashes, shifted
/// in time. The harmonics of that flash all have twice the mean, in phase.
Light light_of_frequency(double hz, std::optional<double> mains_hz);

/// Whether one of these is known by its frequency alone.
bool some_by_frequency_alone(std::span<const LightShare> lights);

}  // namespace lampbeat
