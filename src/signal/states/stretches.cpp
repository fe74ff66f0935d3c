#include "signal/states/stretches.hpp"

#include <algorithm>

namespace lampbeat::signal::states {

namespace {

/// A light that comes and goes more often is told by how often; memory stays bounded.
constexpr std::size_t most_stretches = 64;
constexpr double rounding_s = 1e-9;

}  // namespace

void add(Stretches& stretches, const Stretch& window, bool goes_on) {
  if (stretches.empty() || (!goes_on && stretches.size() < most_stretches)) {
    stretches.push_back(window);
  } else {
    stretches.back().to_s = window.to_s;
  }
}

void join(Stretches& stretches, const Stretches& others) {
  stretches.insert(stretches.end(), others.begin(), others.end());
  std::sort(stretches.begin(), stretches.end(),
            [](const Stretch& a, const Stretch& b) { return a.from_s < b.from_s; });
}

bool cover(const Stretches& stretches, double time_s) {
  return std::any_of(stretches.begin(), stretches.end(), [&](const Stretch& stretch) {
    return time_s >= stretch.from_s - rounding_s && time_s < stretch.to_s - rounding_s;
  });
}

const Stretch& longest(const Stretches& stretches) {
  return *std::max_element(
      stretches.begin(), stretches.end(),
      [](const Stretch& a, const Stretch& b) { return a.seconds() < b.seconds(); });
}

}  // namespace lampbeat::signal::states
