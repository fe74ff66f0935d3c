#pragma once

#include <cstddef>
#include <utility>
#include <vector>

namespace lampbeat::signal::sensor {

/// A recording averaged over whole cycles of its light, at moments half such an average apart.
struct SmoothCourse {
  double spacing_s = 0.0;
  std::vector<double> level;     ///< the average around each moment
  std::vector<double> integral;  ///< of that average, up to the moment
  std::vector<double> ripple;    ///< standard deviation of the samples in it
  std::vector<double> unrest;    ///< the same about their own straight line: a sag has little
  double time_s(std::size_t i) const { return spacing_s * (static_cast<double>(i) + 1.0); }
};

/// Builds one, sample by sample.
class CourseSmoother {
 public:
  /// Averages over so many samples, at least two.
  CourseSmoother(std::size_t samples, double rate_hz);
  void add(double value);
  SmoothCourse course() && { return std::move(course_); }

 private:
  SmoothCourse course_;
  double interval_s_;
  std::vector<double> ring_;  ///< the latest samples
  std::size_t next_ = 0;
  std::size_t seen_ = 0;
  double sum_ = 0.0;
  double squares_ = 0.0;
  double moment_ = 0.0;  ///< each sample times its place, the oldest 0
  double integral_ = 0.0;
};

}  // namespace lampbeat::signal::sensor
