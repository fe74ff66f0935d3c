#pragma once

#include <vector>

#include "lampbeat/window.hpp"

namespace lampbeat {

/// Amplitude spectrum of a window with its mean removed. Point i is at i · bin_hz; a lone sinusoid
/// of amplitude A on a bin reads A, in sample units. `floor` is the running local noise level
/// (median-based) in the same amplitude unit.
struct Spectrum {
  double bin_hz = 0.0;
  std::vector<double> amplitude;
  std::vector<double> floor;
};

/// Windowed (4-term Blackman-Harris, side lobes below -92 dB; Harris, Proc. IEEE 66(1), 1978)
/// spectrum up to half the (median) sampling rate. Uneven samples are transformed by their own
/// times (Gaussian gridding; Greengard & Lee, SIAM Review 46(3), 2004).
Spectrum spectrum_of(const Window& window);

}  // namespace lampbeat
