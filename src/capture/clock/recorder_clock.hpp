#pragma once

namespace lampbeat::capture::clock {

// How far recorders' clocks may be off, parts in a million (common practice, no source).

/// The crystal of a sound card.
inline constexpr double sound_card_ppm = 50.0;
/// The crystal of an instrument of unknown make, its age and warmth included.
inline constexpr double instrument_ppm = 100.0;
/// The ceramic resonator of a microcontroller, which counts milliseconds or microseconds.
inline constexpr double resonator_ppm = 5000.0;

}  // namespace lampbeat::capture::clock
