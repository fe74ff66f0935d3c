#pragma once

#include <cstddef>
#include <span>
#include <vector>

// Values by their rank. All but `noise_from_steps` reorder what they are given.

namespace lampbeat::arithmetic {

/// The value that `rank` others are no greater than, counted from 0; `rank` < number of values.
double nth_smallest(std::vector<double>& values, std::size_t rank);

/// The value at a share of the way from the smallest (0) to the largest (1); at least one value.
double quantile(std::vector<double>& values, double share);

/// The middle value, of an even number of values the upper of the two middle ones: one that was
/// there, and half as dear as the mean of both. At least one value.
double upper_median(std::vector<double>& values);

/// The middle value, of an even number of values the mean of the two middle ones; not a number of
/// no values.
double median(std::vector<double>& values);

/// Standard deviation over median absolute deviation of a normal distribution, 1/Φ⁻¹(¾).
inline constexpr double normal_sd = 1.4826;

/// Standard deviation of the noise of one reading, from the middle step between neighbours: edges
/// and slow changes hardly touch it. For normal noise that step is 0.6745·√2 standard deviations.
/// At least two readings.
double noise_from_steps(std::span<const double> readings);

}  // namespace lampbeat::arithmetic
