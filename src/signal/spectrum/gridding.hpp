#pragma once

#include <complex>
#include <cstddef>
#include <span>
#include <vector>

namespace lampbeat::signal::spectrum {

/// The transform of unevenly placed values, X_k = Σ c_j exp(−2πi k x_j) for k = 0 .. highest, with
/// places x_j in turns (any real; only the fraction counts). Gaussian gridding on a twice finer
/// even grid, about 12 digits (Greengard & Lee, SIAM Review 46(3), 2004).
std::vector<std::complex<double>> gridded_transform(std::span<const double> place_turns,
                                                    std::span<const double> value,
                                                    std::size_t highest);

}  // namespace lampbeat::signal::spectrum
