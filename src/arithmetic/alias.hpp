#pragma once

#include <cmath>

// What a frequency looks like when it is sampled: |n·rate ± f| all read alike. Inline, since fits
// ask for it in their innermost loops.

namespace lampbeat::arithmetic {

/// The frequency as it is seen by samples taken `rate_hz` times a second, −rate/2 to +rate/2: below
/// zero it runs backwards. `rate_hz` > 0.
inline double alias_hz(double hz, double rate_hz) {
  return hz - rate_hz * std::round(hz / rate_hz);
}

/// The same without its direction, 0 to rate/2.
inline double folded_hz(double hz, double rate_hz) { return std::abs(alias_hz(hz, rate_hz)); }

/// A sampling rate that is a ratio of two whole numbers, such as 24000/1001 frames a second.
struct RationalRate {
  double numerator = 1.0;    ///< > 0
  double denominator = 1.0;  ///< > 0
};

/// As above, without the rounding by which a frequency in step with such a rate would seem to
/// creep.
inline double alias_hz(double hz, const RationalRate& rate_hz) {
  return std::remainder(hz * rate_hz.denominator, rate_hz.numerator) / rate_hz.denominator;
}

}  // namespace lampbeat::arithmetic
