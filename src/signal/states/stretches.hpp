#pragma once

#include <vector>

namespace lampbeat::signal::states {

/// A time of the capture, in seconds from its first sample.
struct Stretch {
  double from_s = 0.0;
  double to_s = 0.0;
  double seconds() const { return to_s - from_s; }
};

/// When a state of the light was seen, in order. The list is short: whatever comes late joins its
/// last entry.
using Stretches = std::vector<Stretch>;

/// Adds a window that follows all others. `goes_on`: no other state came between.
void add(Stretches& stretches, const Stretch& window, bool goes_on);
void join(Stretches& stretches, const Stretches& others);
bool cover(const Stretches& stretches, double time_s);
/// Of at least one.
const Stretch& longest(const Stretches& stretches);

}  // namespace lampbeat::signal::states
