#pragma once

#include <cstddef>
#include <span>
#include <vector>

#include "lampbeat/window.hpp"

namespace lampbeat::signal::course {

/// The slow course of a whole capture: means of equal blocks of samples. However long the capture,
/// no more than `most_blocks` are kept: neighbours join, and the blocks double.
class Course {
 public:
  Course(std::size_t samples_a_block, std::size_t most_blocks)
      : block_(samples_a_block), most_(most_blocks) {}

  /// Adds the samples of `window` (their values taken from `value`), which begins `start_s` into
  /// the capture.
  void add(const Window& window, std::span<const double> value, double start_s);
  /// The means of the blocks that begin in [from_s, to_s), as evenly spaced samples; `first_s` is
  /// the middle of the first, from the capture's first sample. A log with gaps closes them.
  struct Part {
    std::vector<double> value;
    double interval_s = 0.0;
    double first_s = 0.0;
  };
  Part part(double from_s, double to_s) const;

 private:
  void join_neighbours();

  std::size_t block_;
  std::size_t most_;
  std::vector<double> sum_;   ///< of the values
  std::vector<double> time_;  ///< of the times
  double open_sum_ = 0.0;
  double open_time_ = 0.0;
  std::size_t open_ = 0;  ///< samples in the block being filled
};

}  // namespace lampbeat::signal::course
