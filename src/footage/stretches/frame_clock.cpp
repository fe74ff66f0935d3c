#include "footage/stretches/frame_clock.hpp"

#include <algorithm>
#include <cmath>

namespace lampbeat::footage::stretches {

namespace {

// Of a period: containers round times to a millisecond, an eighth of a period at 120 a second, and
// write them a little late or early. Finer unevenness shows in the pattern itself.
constexpr double most_off = 0.2;
// Of the rate: the stretch has another one than the clip began with.
constexpr double most_rate_off = 5e-4;
// Periods: over fewer, the rounding of the times would be another rate.
constexpr double enough_to_tell_rate = 250.0;
// Periods: a longer pause is a cut, after which the pattern begins anew.
constexpr double longest_pause = 60.0;

}  // namespace

std::size_t FrameClock::missing_before(std::optional<double> period) {
  if (!period) {
    broken_ = broken_ || !places_.empty();
    return 0;
  }
  if (places_.empty()) {
    places_.push_back({0.0, *period});
    return 0;
  }
  const Place last = places_.back();
  const double step = *period - last.time;
  if (!(step > 0.0 && step < longest_pause)) {
    broken_ = true;
    places_.push_back({last.slot + 1.0, *period});
    return 0;
  }
  const double slots = std::max(1.0, std::round(step));
  places_.push_back({last.slot + slots, *period});
  return static_cast<std::size_t>(slots) - 1;
}

bool FrameClock::even() const {
  if (broken_) return false;
  if (places_.size() < 3) return true;
  double mean_slot = 0.0;
  double mean_time = 0.0;
  for (const Place& p : places_) {
    mean_slot += p.slot;
    mean_time += p.time;
  }
  const auto count = static_cast<double>(places_.size());
  mean_slot /= count;
  mean_time /= count;
  double spread = 0.0;
  double together = 0.0;
  for (const Place& p : places_) {
    spread += (p.slot - mean_slot) * (p.slot - mean_slot);
    together += (p.slot - mean_slot) * (p.time - mean_time);
  }
  const double rate = together / spread;
  const bool long_enough = places_.back().slot - places_.front().slot >= enough_to_tell_rate;
  if (long_enough && std::abs(rate - 1.0) > most_rate_off) return false;
  return std::all_of(places_.begin(), places_.end(), [&](const Place& p) {
    return std::abs(p.time - mean_time - rate * (p.slot - mean_slot)) <= most_off;
  });
}

void FrameClock::begin_stretch() {
  if (places_.size() > 1) places_.erase(places_.begin(), places_.end() - 1);
  broken_ = false;
}

}  // namespace lampbeat::footage::stretches
