#pragma once

namespace lampbeat::signal::spectrum {

/// The 4-term Blackman-Harris window at `x` from 0 (start) to 1 (end): side lobes below −92 dB,
/// main lobe ±4 bins (Harris, Proc. IEEE 66(1), 1978, table I).
double blackman_harris(double x);

/// Equivalent noise bandwidth of that window, in bins (Harris gives 2.00).
inline constexpr double blackman_harris_noise_bins = 2.0044;

}  // namespace lampbeat::signal::spectrum
