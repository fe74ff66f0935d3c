#include "signal/course/course.hpp"

#include <algorithm>

#include "arithmetic/lanes.hpp"

namespace lampbeat::signal::course {

void Course::add(const Window& window, std::span<const double> value, double start_s) {
  std::size_t i = 0;
  while (i < value.size()) {
    const std::size_t take = std::min(block_ - open_, value.size() - i);
    open_sum_ += arithmetic::sum_of(value.subspan(i, take));
    open_time_ += static_cast<double>(take) *
                  (start_s + (window.time_at(i) + window.time_at(i + take - 1)) / 2.0);
    open_ += take;
    i += take;
    if (open_ < block_) break;
    sum_.push_back(open_sum_);
    time_.push_back(open_time_);
    open_sum_ = open_time_ = 0.0;
    open_ = 0;
    if (sum_.size() >= most_) join_neighbours();
  }
}

void Course::join_neighbours() {
  const std::size_t pairs = sum_.size() / 2;
  if (sum_.size() % 2 == 1) {  // the odd one is open again
    open_sum_ += sum_.back();
    open_time_ += time_.back();
    open_ += block_;
  }
  for (std::size_t i = 0; i < pairs; ++i) {
    sum_[i] = sum_[2 * i] + sum_[2 * i + 1];
    time_[i] = time_[2 * i] + time_[2 * i + 1];
  }
  sum_.resize(pairs);
  time_.resize(pairs);
  block_ *= 2;
}

Course::Part Course::part(double from_s, double to_s) const {
  Part part;
  const auto count = static_cast<double>(block_);
  double last_s = 0.0;
  for (std::size_t i = 0; i < sum_.size(); ++i) {
    const double at_s = time_[i] / count;
    if (at_s < from_s || at_s >= to_s) continue;
    if (part.value.empty()) part.first_s = at_s;
    last_s = at_s;
    part.value.push_back(sum_[i] / count);
  }
  if (part.value.size() > 1) {
    part.interval_s = (last_s - part.first_s) / static_cast<double>(part.value.size() - 1);
  }
  return part;
}

}  // namespace lampbeat::signal::course
