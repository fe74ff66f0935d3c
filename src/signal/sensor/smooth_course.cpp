#include "signal/sensor/smooth_course.hpp"

#include <algorithm>
#include <cmath>

namespace lampbeat::signal::sensor {

CourseSmoother::CourseSmoother(std::size_t samples, double rate_hz)
    : interval_s_(1.0 / rate_hz), ring_(samples, 0.0) {
  course_.spacing_s = interval_s_ * static_cast<double>(samples) / 2.0;
}

void CourseSmoother::add(double value) {
  const double oldest = ring_[next_];
  ring_[next_] = value;
  next_ = next_ + 1 == ring_.size() ? 0 : next_ + 1;
  ++seen_;
  const double n = static_cast<double>(ring_.size());
  moment_ += (n - 1.0) * value - (sum_ - oldest);
  sum_ += value - oldest;
  squares_ += value * value - oldest * oldest;
  const double level = sum_ / n;
  if (seen_ > ring_.size()) integral_ += level * interval_s_;
  // Moments lie half the average's length apart, the first in the middle of the first full one.
  const std::size_t half = ring_.size() / 2;
  if (seen_ < ring_.size() || (seen_ - ring_.size()) % half != 0) return;
  course_.spacing_s = interval_s_ * static_cast<double>(half);
  course_.level.push_back(level);
  // Of the last sample only half lies before the moment.
  course_.integral.push_back(integral_ - level * interval_s_ / 2.0);
  const double variance = std::max(0.0, squares_ / n - level * level);
  const double together = moment_ / n - level * (n - 1.0) / 2.0;
  const double places = (n * n - 1.0) / 12.0;
  course_.ripple.push_back(std::sqrt(variance));
  course_.unrest.push_back(std::sqrt(std::max(0.0, variance - together * together / places)));
  if (next_ == 0) {  // rounding does not pile up
    sum_ = squares_ = moment_ = 0.0;
    for (std::size_t i = 0; i < ring_.size(); ++i) {
      sum_ += ring_[i];
      squares_ += ring_[i] * ring_[i];
      moment_ += static_cast<double>(i) * ring_[i];
    }
  }
}

}  // namespace lampbeat::signal::sensor
