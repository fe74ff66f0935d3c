#include "footage/stretches/placed_frames.hpp"

#include <algorithm>
#include <cmath>
#include <vector>

#include "lampbeat/camera.hpp"
#include "lampbeat/visibility.hpp"

namespace lampbeat::footage::stretches {

namespace {

// Fewer make no beat.
constexpr std::size_t fewest_repeats = 4;

/// The rates at which cameras and telephones take pictures that a player shows as they were taken.
std::vector<FrameRate> rates_of_pictures() {
  std::vector<FrameRate> rates = {
      {12, 1}, {25, 2}, {15, 1}};  // old cameras, and half rates at night
  for (const FrameRate fps : customary_frame_rates()) {
    if (fps.per_s() <= fastest_screen_fps) rates.push_back(fps);
  }
  return rates;
}

/// The customary rate at which so large a share of the frames would have been taken; a frame more
/// or less in `span` of them tells it from the next.
std::optional<FrameRate> customary_rate(double share, FrameRate rate, double span) {
  std::optional<FrameRate> best;
  double least = 1.0 / span;
  for (const FrameRate& c : rates_of_pictures()) {
    const double off = std::abs(c.per_s() / rate.per_s() - share);
    if (off < least) {
      least = off;
      best = c;
    }
  }
  return best;
}

}  // namespace

rows::Cells without(const rows::Cells& cells, const std::vector<bool>& frame) {
  rows::Cells kept = cells.empty_like();
  for (std::size_t n = 0; n < cells.frames(); ++n) {
    if (!frame[n]) kept.add_frame_of(cells, n);
  }
  return kept;
}

rows::Cells with_gaps(const rows::Cells& cells, const FrameFates& fates) {
  rows::Cells spaced = cells.empty_like();
  for (std::size_t n = 0; n < cells.frames(); ++n) {
    if (fates.inserted[n]) continue;
    for (std::size_t gap = 0; gap < fates.lost[n]; ++gap) spaced.add_gap();
    if (fates.repeated[n]) {
      spaced.add_gap();
    } else {
      spaced.add_frame_of(cells, n);
    }
  }
  return spaced;
}

std::optional<FrameRate> rate_before(const std::vector<bool>& repeated, FrameRate rate) {
  std::vector<std::size_t> at;
  for (std::size_t n = 0; n < repeated.size(); ++n) {
    if (repeated[n]) at.push_back(n);
  }
  if (at.size() < fewest_repeats) return std::nullopt;
  std::size_t shortest = repeated.size();
  std::size_t longest = 0;
  for (std::size_t i = 1; i < at.size(); ++i) {
    shortest = std::min(shortest, at[i] - at[i - 1]);
    longest = std::max(longest, at[i] - at[i - 1]);
  }
  if (longest > shortest + 1) return std::nullopt;
  if (longest == shortest && shortest > 1) {
    const auto g = static_cast<std::int64_t>(shortest);
    return FrameRate{rate.numerator * (g - 1), rate.denominator * g};
  }
  // Uneven by one frame: the customary rate that so many pictures in so many frames come to.
  const auto span = static_cast<double>(at.back() - at.front());
  const double share = 1.0 - static_cast<double>(at.size() - 1) / span;
  return customary_rate(share, rate, span);
}

}  // namespace lampbeat::footage::stretches
