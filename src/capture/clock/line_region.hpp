#pragma once

#include <vector>

namespace lampbeat::capture::clock {

/// All straight lines, time over row number, that pass through every row's range seen so far: a
/// convex polygon in the plane of offset and slope, cut by each new range (O'Rourke, "An on-line
/// algorithm for fitting straight lines between data ranges", Communications of the ACM 24(9),
/// 1981). Bounds on the line are exact, however the ranges' ends are distributed.
class LineRegion {
 public:
  struct Range {
    double low = 0.0;
    double high = 0.0;
    double middle() const { return (low + high) / 2.0; }
    double half() const { return (high - low) / 2.0; }
  };
  struct Line {
    double offset = 0.0;
    double slope = 0.0;
    double at(double row) const { return offset + slope * row; }
  };

  LineRegion(Range offset, Range slope);

  /// Keeps the lines at or above `low` at row `first` and at or below `high` at row `last`. False,
  /// and the region stays as it was, when there is none.
  bool keep(double first, double low, double last, double high);

  /// Where its lines lie at a row.
  Range at(double row) const;
  Range slope() const;
  /// Its centre of gravity.
  Line centre() const;

 private:
  std::vector<Line> corners_;
  std::vector<Line> cut_, before_;  ///< room to work in
};

}  // namespace lampbeat::capture::clock
