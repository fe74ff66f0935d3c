#include "signal/cycle/phase_curve.hpp"

#include <algorithm>
#include <cmath>

#include "signal/cycle/cells_round.hpp"

namespace lampbeat::signal::cycle {
namespace {

/// A slope is taken over as few cells as show it by so many standard deviations, and over this
/// share of the cells at most: of a sine's an eighth to either side is still its slope.
constexpr double shown_sds = 5.0;
constexpr std::size_t widest_share = 8;

/// A slope that rises by less than this share of the swing in a whole turn is level but for
/// rounding.
constexpr double level_share = 1e-3;

/// The filled cells, one after the other.
struct FilledCells {
  std::vector<std::size_t> cell;
  std::vector<double> place;  ///< of their samples, turns
  std::vector<double> value;
  std::vector<double> count;

  std::size_t size() const { return cell.size(); }
};

FilledCells filled_in(const PhaseTable& table) {
  FilledCells f;
  for (std::size_t c = 0; c < table.cells; ++c) {
    const CellTotals& total = table.total[c];
    if (total.count == 0.0) continue;
    f.cell.push_back(c);
    f.place.push_back((static_cast<double>(c) + 0.5 + total.offset / total.count) /
                      static_cast<double>(table.cells));
    f.value.push_back(total.mean());
    f.count.push_back(total.count);
  }
  return f;
}

/// Sums over cells round the cycle, which may begin a turn before the first and end one after the
/// last.
class Round {
 public:
  template <typename Each>
  Round(std::size_t cells, Each each) : sum_(3 * cells + 1) {
    for (std::size_t i = 0; i < 3 * cells; ++i) {
      const std::size_t turn = i / cells;
      sum_[i + 1] = sum_[i] + each(i % cells, static_cast<double>(turn) - 1.0);
    }
  }
  /// Of cells [from, from + many), counted from one turn before the first.
  double operator()(std::size_t from, std::size_t many) const {
    return sum_[from + many] - sum_[from];
  }

 private:
  std::vector<double> sum_;
};

/// By the means of the cells to either side, as few as show it; none that would reach over an edge.
std::vector<double> slopes_of(const FilledCells& f, const std::vector<bool>& edges,
                              double noise_sd) {
  const std::size_t n = f.size();
  const Round counts(n, [&](std::size_t i, double) { return f.count[i]; });
  const Round values(n, [&](std::size_t i, double) { return f.count[i] * f.value[i]; });
  const Round places(
      n, [&](std::size_t i, double turns) { return f.count[i] * (f.place[i] + turns); });
  const Round edged(n, [&](std::size_t i, double) { return edges[i] ? 1.0 : 0.0; });
  const std::size_t widest = std::max<std::size_t>(1, n / widest_share);
  const auto [low, high] = std::minmax_element(f.value.begin(), f.value.end());
  const double swing = *high - *low;
  std::vector<double> slopes(n);
  for (std::size_t i = 0; i < n; ++i) {
    for (std::size_t reach = 1; reach <= widest; reach *= 2) {
      const std::size_t after = n + i + 1;
      const std::size_t before = n + i - reach;
      if (!edges[i] && edged(before, 2 * reach + 1) > 0.0) break;
      const double count_after = counts(after, reach);
      const double count_before = counts(before, reach);
      const double rise = values(after, reach) / count_after - values(before, reach) / count_before;
      const double run = places(after, reach) / count_after - places(before, reach) / count_before;
      const double noise = noise_sd * std::sqrt(1.0 / count_after + 1.0 / count_before);
      if (std::abs(rise) < shown_sds * noise || !(run > 0.0)) continue;
      if (std::abs(rise) > level_share * swing * run) slopes[i] = rise / run;
      break;
    }
  }
  return slopes;
}

}  // namespace

PhaseCurve phase_curve(const PhaseTable& table) {
  PhaseCurve curve{std::vector<double>(table.cells), std::vector<double>(table.cells),
                   std::vector<double>(table.cells), std::vector<bool>(table.cells)};
  const FilledCells f = filled_in(table);
  if (f.size() < 3) return curve;
  const std::vector<bool> edges = edges_of(f.value);
  const std::vector<double> slopes = slopes_of(f, edges, table.noise_sd);
  for (std::size_t i = 0; i < f.size(); ++i) {
    const std::size_t c = f.cell[i];
    const double centre = (static_cast<double>(c) + 0.5) / static_cast<double>(table.cells);
    curve.count[c] = f.count[i];
    curve.slope[c] = slopes[i];
    curve.edge[c] = edges[i];
    curve.value[c] = f.value[i];
    if (!edges[i]) curve.value[c] += slopes[i] * (centre - f.place[i]);
  }
  return curve;
}

}  // namespace lampbeat::signal::cycle
