#include "signal/cycle/cell_curve.hpp"

#include <algorithm>

#include "signal/cycle/cells_round.hpp"

namespace lampbeat::signal::cycle {

CellCurve::CellCurve(const PhaseCurve& curve) : value_(curve.value) {
  bridge_smoothly(value_, curve.count, curve.edge);
  add_up();
}

CellCurve::CellCurve(const PhaseTable& table, const PhaseCurve& slopes, std::size_t without)
    : value_(table.cells) {
  std::vector<double> count(table.cells);
  const auto cells = static_cast<double>(table.cells);
  for (std::size_t c = 0; c < table.cells; ++c) {
    const CellTotals& total = table.total[c];
    count[c] = total.count - table.count_in(without, c);
    if (!(count[c] > 0.0)) continue;
    const double offset = (total.offset - table.offset_in(without, c)) / count[c] / cells;
    value_[c] =
        (total.value - table.value_in(without, c)) / count[c] - slopes.slope_within(c) * offset;
  }
  bridge_smoothly(value_, count, slopes.edge);
  add_up();
}

void CellCurve::add_up() {
  running_.resize(2 * value_.size() + 1);
  for (std::size_t i = 0; i + 1 < running_.size(); ++i) {
    running_[i + 1] = running_[i] + value_[i % value_.size()];
  }
}

std::vector<CellCurve> each_left_out(const PhaseTable& table, const PhaseCurve& slopes) {
  std::vector<CellCurve> others;
  others.reserve(table.stretches);
  for (std::size_t s = 0; s < table.stretches; ++s) others.emplace_back(table, slopes, s);
  return others;
}

double CellCurve::lowest() const { return *std::min_element(value_.begin(), value_.end()); }
double CellCurve::highest() const { return *std::max_element(value_.begin(), value_.end()); }

}  // namespace lampbeat::signal::cycle
