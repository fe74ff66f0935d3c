#pragma once

#include <cstddef>
#include <vector>

#include "signal/cycle/phase_curve.hpp"
#include "signal/cycle/phase_table.hpp"

namespace lampbeat::signal::cycle {

/// The light over its cycle, cell by cell, cells without samples bridged straight.
class CellCurve {
 public:
  /// Of all stretches, at the cells' centres.
  explicit CellCurve(const PhaseCurve& curve);
  /// Of all but one; `slopes` are those of all.
  CellCurve(const PhaseTable& table, const PhaseCurve& slopes, std::size_t without);

  std::size_t cells() const { return value_.size(); }
  /// `cell` may lie up to four turns before the first or any number after it.
  double at(std::ptrdiff_t cell) const {
    const auto n = static_cast<std::ptrdiff_t>(value_.size());
    return value_[static_cast<std::size_t>((cell + 4 * n) % n)];
  }
  /// Mean of the cells [from, from + width); 0 < width <= cells, from < cells.
  double mean(std::size_t from, std::size_t width) const {
    return (running_[from + width] - running_[from]) / static_cast<double>(width);
  }
  double lowest() const;
  double highest() const;

 private:
  void add_up();

  std::vector<double> value_;
  std::vector<double> running_;  ///< sums over two turns
};

/// Of all stretches but one, by stretch.
std::vector<CellCurve> each_left_out(const PhaseTable& table, const PhaseCurve& slopes);

}  // namespace lampbeat::signal::cycle
