#pragma once

#include <cstddef>
#include <experimental/simd>
#include <span>

// As many samples as the processor takes at once. Loops over a whole window are written with these
// where compilers do not find the lanes by themselves: minima, maxima and sums, whose order they
// must keep.

namespace lampbeat::arithmetic {

using Lanes = std::experimental::native_simd<double>;
inline constexpr std::size_t lanes = Lanes::size();

inline Lanes lanes_at(const double* first) {
  return Lanes(first, std::experimental::element_aligned);
}

/// A running sum waits for itself at every sample; several side by side do not, and err less.
inline double sum_of(std::span<const double> value) {
  constexpr std::size_t turn = 4 * lanes;
  Lanes a = 0.0, b = 0.0, c = 0.0, d = 0.0;
  std::size_t i = 0;
  for (; i + turn <= value.size(); i += turn) {
    const double* x = value.data() + i;
    a += lanes_at(x);
    b += lanes_at(x + lanes);
    c += lanes_at(x + 2 * lanes);
    d += lanes_at(x + 3 * lanes);
  }
  double sum = std::experimental::reduce((a + b) + (c + d));
  for (; i < value.size(); ++i) sum += value[i];
  return sum;
}

}  // namespace lampbeat::arithmetic
