#pragma once

// What is left unsaid by the noise of a pattern that stands still, whatever it was found by.

namespace lampbeat::footage::answer {

// Code values and compression (shares of the figure), and rounding: uniform over a code step, 1/√12
// of it. A standing pattern is seen at one phase only, so that neither averages out over its cycle
// and the floors are larger than a running one's (stretches/error_floors).
inline constexpr double bands_floor = 0.003;
inline constexpr double amplitude_floor = 0.01;
inline constexpr double rounding_left = 0.3;

/// What mistaking a wall's shading for bands does, to their number and to their amplitude (a share
/// of it), at the fewest bands that are told from shading
/// (waves::fewest_on_wall), the less the more bands there are. bench_footage_stills prints both.
inline constexpr double bands_by_shading = 0.12;
inline constexpr double amplitude_by_shading = 0.07;

}  // namespace lampbeat::footage::answer
