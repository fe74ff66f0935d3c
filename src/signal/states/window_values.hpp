#pragma once

#include <vector>

namespace lampbeat::signal::states {

/// A figure of every window. Long lists join neighbours, so that an hour fits where ten minutes
/// did.
class WindowValues {
 public:
  void add(double value);
  void add(const WindowValues& others);
  bool empty() const { return values_.empty(); }
  /// Of at least one value, as is the highest.
  double median() const;
  double highest() const { return highest_; }

 private:
  std::vector<double> values_;
  double highest_ = 0.0;  ///< before any were joined
};

/// A figure over the windows of one state: their median, and the worst where they differ by more
/// than noise explains (`window_sd`, of one window).
double of_windows(const WindowValues& windows, double window_sd);

}  // namespace lampbeat::signal::states
