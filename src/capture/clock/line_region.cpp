#include "capture/clock/line_region.hpp"

#include <algorithm>
#include <cmath>

namespace lampbeat::capture::clock {
namespace {

using Line = LineRegion::Line;

/// The corners on the side of `bound` that `side` (+1 above, -1 below) keeps, at one row.
void cut(std::vector<Line>& corners, std::vector<Line>& kept, double row, double bound,
         double side) {
  const auto beyond = [&](const Line& corner) { return side * (corner.at(row) - bound); };
  kept.clear();
  const double first = corners.empty() ? 0.0 : beyond(corners.front());
  double from = first;
  for (std::size_t i = 0; i < corners.size(); ++i) {
    const bool last = i + 1 == corners.size();
    const Line& a = corners[i];
    const Line& b = corners[last ? 0 : i + 1];
    const double to = last ? first : beyond(b);
    if (from >= 0.0) kept.push_back(a);
    if ((from < 0.0 && to > 0.0) || (from > 0.0 && to < 0.0)) {
      const double share = from / (from - to);
      kept.push_back(
          {a.offset + share * (b.offset - a.offset), a.slope + share * (b.slope - a.slope)});
    }
    from = to;
  }
  corners.swap(kept);
}

}  // namespace

LineRegion::LineRegion(Range offset, Range slope)
    : corners_{{offset.low, slope.low},
               {offset.high, slope.low},
               {offset.high, slope.high},
               {offset.low, slope.high}} {}

bool LineRegion::keep(double first, double low, double last, double high) {
  const bool inside = std::all_of(corners_.begin(), corners_.end(), [&](const Line& corner) {
    return corner.at(first) >= low && corner.at(last) <= high;
  });
  if (inside) return true;
  before_ = corners_;
  cut(corners_, cut_, first, low, +1.0);
  cut(corners_, cut_, last, high, -1.0);
  if (!corners_.empty()) return true;
  corners_ = before_;
  return false;
}

LineRegion::Range LineRegion::at(double row) const {
  Range range{HUGE_VAL, -HUGE_VAL};
  for (const Line& corner : corners_) {
    range.low = std::min(range.low, corner.at(row));
    range.high = std::max(range.high, corner.at(row));
  }
  return range;
}

LineRegion::Range LineRegion::slope() const {
  const auto [low, high] =
      std::minmax_element(corners_.begin(), corners_.end(),
                          [](const Line& a, const Line& b) { return a.slope < b.slope; });
  return {low->slope, high->slope};
}

LineRegion::Line LineRegion::centre() const {
  // Fan of triangles about the first corner, in coordinates relative to it: no cancellation.
  const Line& origin = corners_.front();
  double area = 0.0;
  Line sum;
  for (std::size_t i = 1; i + 1 < corners_.size(); ++i) {
    const Line a{corners_[i].offset - origin.offset, corners_[i].slope - origin.slope};
    const Line b{corners_[i + 1].offset - origin.offset, corners_[i + 1].slope - origin.slope};
    const double twice = std::abs(a.offset * b.slope - a.slope * b.offset);
    area += twice;
    sum.offset += twice * (a.offset + b.offset) / 3.0;
    sum.slope += twice * (a.slope + b.slope) / 3.0;
  }
  if (area > 0.0) return {origin.offset + sum.offset / area, origin.slope + sum.slope / area};
  Line mean;
  for (const Line& corner : corners_) {
    mean.offset += corner.offset / static_cast<double>(corners_.size());
    mean.slope += corner.slope / static_cast<double>(corners_.size());
  }
  return mean;
}

}  // namespace lampbeat::capture::clock
