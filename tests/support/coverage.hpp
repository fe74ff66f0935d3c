#pragma once

#include <algorithm>
#include <cmath>
#include <vector>

// Whether a ± is worth what it says: errors beyond three of them are rare, and it is no larger than
// it has to be. A ± that covers everything says nothing.

namespace lampbeat::test {

/// Errors over many draws beside the standard uncertainties stated with them.
class Coverage {
 public:
  /// `other_sd`: the part of the ± that allows for what these draws do not contain (the rounding
  /// and compression of real clips, say), where its size is documented.
  void take(double error, double stated_sd, double other_sd = 0.0) {
    errors_.push_back(std::abs(error) / std::max(stated_sd, tiny));
    const double own_sd = std::sqrt(std::max(0.0, stated_sd * stated_sd - other_sd * other_sd));
    widths_.push_back(own_sd / std::max(std::abs(error), tiny));
  }
  /// How many errors are beyond so many ±.
  int beyond(double times) const {
    return static_cast<int>(
        std::count_if(errors_.begin(), errors_.end(), [&](double e) { return e > times; }));
  }
  /// How many times wider than the errors call for, by the middle one of them: 1 is honest.
  double stated_over_actual() const {
    if (widths_.empty()) return HUGE_VAL;  // nothing was tried
    std::vector<double> sorted = widths_;
    const auto middle = sorted.begin() + static_cast<std::ptrdiff_t>(sorted.size() / 2);
    std::nth_element(sorted.begin(), middle, sorted.end());
    constexpr double middle_of_normal = 0.6745;  // half of all errors are smaller
    return middle_of_normal * *middle;
  }

 private:
  static constexpr double tiny = 1e-300;
  std::vector<double> errors_;  ///< in units of the whole ±
  std::vector<double> widths_;  ///< the ± that these draws ought to fill, in units of the error
};

}  // namespace lampbeat::test
