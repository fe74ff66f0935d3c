#include "signal/cycle/table_edges.hpp"

#include <algorithm>
#include <cmath>

namespace lampbeat::signal::cycle {
namespace {

/// Samples either side of a jump scatter by a tenth of it where one in a hundred lies on the other
/// side; the steepest slope of a sine over a 256th of its cycle by a third of a percent.
constexpr double least_of_swing = 0.03;
/// Standard deviations of a sample variance: of 1024 cells noise passes one in 30 tables.
constexpr double edge_scatter_sds = 4.0;
/// Twenty jumps of three cells each in 256 are no edges but a smear.
constexpr double most_edges = 0.25;
/// Samples of two levels scatter by half their distance at most; what scatters by more than this of
/// its square moves for another reason, such as a second rhythm.
constexpr double most_of_jump = 0.5;
constexpr std::ptrdiff_t jump_reach = 3;

/// Between what lies before and after the cell, nearest cells first.
double jump_at(const CellCurve& curve, std::ptrdiff_t cell) {
  double jump = 0.0;
  for (std::ptrdiff_t by = 1; by <= jump_reach; ++by) {
    jump = std::max(jump, std::abs(curve.at(cell + by) - curve.at(cell - by)));
  }
  return jump;
}

}  // namespace

TableEdges::TableEdges(const PhaseTable& table, const CellCurve& curve)
    : edge_(table.cells), running_(2 * table.cells + 1) {
  const double least = least_of_swing * (curve.highest() - curve.lowest());
  const double noise = table.noise_sd * table.noise_sd;
  std::size_t edges = 0;
  for (std::size_t c = 0; c < table.cells; ++c) {
    const CellTotals& cell = table.total[c];
    if (cell.count < 2.0) continue;
    const double allowed = noise * (1.0 + edge_scatter_sds * std::sqrt(2.0 / (cell.count - 1.0)));
    const double beyond = cell.variance() - allowed;
    const double jump = jump_at(curve, static_cast<std::ptrdiff_t>(c));
    edge_[c] = beyond > least * least && beyond < most_of_jump * jump * jump;
    edges += edge_[c];
  }
  if (static_cast<double>(edges) > most_edges * static_cast<double>(table.cells)) {
    std::fill(edge_.begin(), edge_.end(), static_cast<unsigned char>(0));
  }
  for (std::size_t i = 0; i + 1 < running_.size(); ++i) {
    running_[i + 1] = running_[i] + edge_[i % edge_.size()];
  }
}

bool TableEdges::leave_room(std::size_t width) const {
  for (std::size_t from = 0; from < edge_.size(); ++from) {
    if (none_in(from, width)) return true;
  }
  return false;
}

}  // namespace lampbeat::signal::cycle
