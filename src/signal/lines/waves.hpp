#pragma once

#include <cstddef>
#include <span>
#include <vector>

namespace lampbeat::signal::lines {

/// How a fit works out the sums of its waves.
enum class Waves {
  exact,
  looked_up,  ///< `tied_waves`: to a millionth, quick
};

/// level + slope · u + Σ (cosine cos(v u) + sine sin(v u)) at every one of evenly spaced samples, u
/// the fit clock, v in radians per unit of it. Block by block, so that each wave is computed for
/// one block only and the rest is a matrix product: O(samples · waves) with a small constant.
std::vector<double> waves(std::size_t samples, std::span<const double> v, double level,
                          double slope, std::span<const double> cosine,
                          std::span<const double> sine);

}  // namespace lampbeat::signal::lines
