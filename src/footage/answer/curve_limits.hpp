#pragma once

#include <cstddef>

// When the depth of bands over a picture contradicts the transfer curve it was decoded with.
// Misfits are mean squares of the differences between parts of the picture over chance, 1 by chance
// alone. Measured figures are those of bench_footage_curves, which draws its rooms anew in each
// run.

namespace lampbeat::footage::answer {

/// A curve is contradicted where the parts differ by so much (three standard deviations): rooms
/// read by their own curve 0.9 at most, by another published one 23 and more in half of the rooms,
/// the others showing too little of bright and dark.
constexpr double contradicted = 9.0;
/// Another curve explains it that leaves this share of the misfit: the right one half of the time
/// 0.003 and less and 0.1 at most, the best one where daylight dilutes the bands half of the time
/// 0.3 to 0.4 and more, in a third of the rooms less than this.
constexpr double left_by_right_curve = 0.25;
/// Under the right curve the parts agree so far (a published one: half of the time 0.1 and less,
/// rarely above); where daylight dilutes the bands, 85 % of the rooms are above.
constexpr double still_equal = 5.0;
/// A curve that leaves little more than the best one, or no more than chance, may be the right one
/// too.
constexpr double as_good = 2.0;
constexpr double by_chance = 1.0;
/// Two parts always agree with some curve.
constexpr std::size_t fewest_parts = 3;

}  // namespace lampbeat::footage::answer
