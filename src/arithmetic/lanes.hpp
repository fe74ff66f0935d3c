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
  constexpr std::size_t stride = 4 * lanes;
  Lanes a = 0.0, b = 0.0, c = 0.0, d = 0.0;
  std::size_t i = 0;
  for (; i + stride <= value.size(); i += stride) {
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

inline constexpr std::size_t products_abreast = 4 * lanes;

/// Of as many values each.
inline double sum_of_products(std::span<const double> one, std::span<const double> other) {
  constexpr std::size_t stride = products_abreast;
  Lanes a = 0.0, b = 0.0, c = 0.0, d = 0.0;
  std::size_t i = 0;
  for (; i + stride <= one.size(); i += stride) {
    const double* x = one.data() + i;
    const double* y = other.data() + i;
    a += lanes_at(x) * lanes_at(y);
    b += lanes_at(x + lanes) * lanes_at(y + lanes);
    c += lanes_at(x + 2 * lanes) * lanes_at(y + 2 * lanes);
    d += lanes_at(x + 3 * lanes) * lanes_at(y + 3 * lanes);
  }
  double sum = std::experimental::reduce((a + b) + (c + d));
  for (; i < one.size(); ++i) sum += one[i] * other[i];
  return sum;
}

/// Whether none is NaN or infinite: nothing times any of those is no longer nothing.
inline bool all_finite(std::span<const double> value) {
  constexpr std::size_t stride = 2 * lanes;
  const Lanes nothing = 0.0;
  Lanes a = 0.0, b = 0.0;
  std::size_t i = 0;
  for (; i + stride <= value.size(); i += stride) {
    a += nothing * lanes_at(value.data() + i);
    b += nothing * lanes_at(value.data() + i + lanes);
  }
  double sum = std::experimental::reduce(a + b);
  for (; i < value.size(); ++i) sum += 0.0 * value[i];
  return sum == 0.0;
}

struct Range {
  double lowest = 0.0;
  double highest = 0.0;
};

/// Of at least one value.
inline Range range_of(std::span<const double> value) {
  namespace simd = std::experimental;
  Lanes low = value.front(), high = value.front();
  std::size_t i = 0;
  for (; i + lanes <= value.size(); i += lanes) {
    const Lanes x = lanes_at(value.data() + i);
    low = simd::min(low, x);
    high = simd::max(high, x);
  }
  Range range{simd::hmin(low), simd::hmax(high)};
  for (; i < value.size(); ++i) {
    range.lowest = value[i] < range.lowest ? value[i] : range.lowest;
    range.highest = value[i] > range.highest ? value[i] : range.highest;
  }
  return range;
}

/// Whether any value lies below `low` or above `high`.
inline bool any_outside(std::span<const double> value, double low, double high) {
  namespace simd = std::experimental;
  const Lanes lowest = low, highest = high;
  Lanes::mask_type outside(false);
  std::size_t i = 0;
  for (; i + lanes <= value.size(); i += lanes) {
    const Lanes x = lanes_at(value.data() + i);
    outside = outside || x < lowest || x > highest;
  }
  bool any = simd::any_of(outside);
  for (; i < value.size(); ++i) any = any || value[i] < low || value[i] > high;
  return any;
}

}  // namespace lampbeat::arithmetic
