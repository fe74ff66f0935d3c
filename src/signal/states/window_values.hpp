#pragma once

#include <cstdint>
#include <vector>

namespace lampbeat::signal::states {

/// A figure and its standard uncertainty.
struct Uncertain {
  double value = 0.0;
  double sd = 0.0;
};

/// A figure of every window. Long lists join neighbours, so that an hour fits where ten minutes
/// did.
class WindowValues {
 public:
  /// `sd` is the figure's standard uncertainty, `bound` the part of it that other windows share.
  void add(double value, double sd, double bound);
  void add(const WindowValues& others);
  bool empty() const { return values_.empty(); }
  double highest() const { return highest_; }
  double median() const;  ///< of at least one window

  /// The figure over all of at least one window: their median, and the worst where they differ by
  /// more than noise explains. The median's ± is what the noise leaves of it, or the windows'
  /// scatter where that is more, and what they share.
  Uncertain figure() const;

 private:
  double median_sd() const;

  std::vector<double> values_;
  double highest_ = 0.0;  ///< before any were joined
  double windows_ = 0.0;
  double noise_variance_ = 0.0;  ///< summed, as is the bound
  double bound_ = 0.0;
};

}  // namespace lampbeat::signal::states
