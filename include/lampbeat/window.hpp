#pragma once

#include <cstddef>
#include <span>

namespace lampbeat {

/// A stretch of consecutive samples that is analysed as one piece, usually about a second.
///
/// Time runs from the window's first sample. Evenly spaced samples carry no times: sample i was
/// taken at i · interval_s. Unevenly spaced ones carry their own, never decreasing, in seconds from
/// the window's first sample, and `interval_s` is then the median spacing.
struct Window {
  std::span<const double> value;
  std::span<const double> time_s;  ///< empty when evenly spaced
  double interval_s = 0.0;

  std::size_t size() const { return value.size(); }
  bool even() const { return time_s.empty(); }
  double time_at(std::size_t i) const {
    return even() ? static_cast<double>(i) * interval_s : time_s[i];
  }
  /// From the first sample to one interval after the last.
  double duration_s() const { return value.empty() ? 0.0 : time_at(size() - 1) + interval_s; }
};

}  // namespace lampbeat
