#pragma once

#include <span>
#include <vector>

namespace lampbeat::signal {

/// The middle value, of an even number of values the upper of the two middle ones; 0 of none.
/// Reorders the values.
double upper_median(std::vector<double>& values);

/// Standard deviation of the noise of one reading, from the middle step between neighbours: edges
/// and slow changes hardly touch it. For normal noise that step is 0.6745·√2 standard deviations.
/// 0 of fewer than two readings.
double noise_from_steps(std::span<const double> readings);

}  // namespace lampbeat::signal
