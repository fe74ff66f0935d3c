#include "signal/cycle/stretch_phases.hpp"

#include <algorithm>
#include <cmath>
#include <limits>
#include <vector>

#include "signal/cycle/cell_curve.hpp"
#include "signal/cycle/stretch_scatter.hpp"

namespace lampbeat::signal::cycle {
namespace {

constexpr double most_turns = 0.2;
constexpr std::size_t fewest_stretches = 3;
/// A cell that no other stretch has samples in is bridged between its neighbours: half a sample's
/// worth.
constexpr double alone_counts = 0.5;
/// Of the time between two samples, between neighbouring phases.
constexpr double most_unfilled = 0.1;
/// Of the stretches, those that have samples in an edge's cell.
constexpr double least_shared = 0.3;
/// What an edge does to the phase that the slopes beside it tell, cells.
constexpr double bent_cells = 0.03;
constexpr double unknown = std::numeric_limits<double>::infinity();

/// A stretch's phase and how sharply its samples tell it.
struct Phase {
  double turns = 0.0;
  double weight = 0.0;  ///< sample units squared a turn squared
};

struct PhaseLine {
  ClockFigure turns_a_stretch{0.0, unknown};
  double phase_sd = unknown;  ///< of all together
};

/// Straight line through the phases of the stretches.
PhaseLine line_through(const std::vector<Phase>& phases, double noise_sd) {
  double weights = 0.0, places = 0.0, squares = 0.0, turns = 0.0, products = 0.0;
  for (std::size_t s = 0; s < phases.size(); ++s) {
    const auto place = static_cast<double>(s);
    const double w = phases[s].weight;
    weights += w;
    places += w * place;
    squares += w * place * place;
    turns += w * phases[s].turns;
    products += w * place * phases[s].turns;
  }
  const double spread = weights * squares - places * places;
  if (!(spread > 0.0)) return {};
  const double slope = (weights * products - places * turns) / spread;
  const double start = (turns - slope * places) / weights;
  double rest = 0.0;
  for (std::size_t s = 0; s < phases.size(); ++s) {
    const double off = phases[s].turns - start - slope * static_cast<double>(s);
    rest += phases[s].weight * off * off;
  }
  const double freedom = static_cast<double>(phases.size()) - 2.0;
  const double variance = std::max(rest / freedom, noise_sd * noise_sd);
  return {{slope, std::sqrt(variance * weights / spread)}, std::sqrt(variance / weights)};
}

/// The share of the stretches that see a cell with an edge, on average; 0 without edges.
double edges_shared(const PhaseTable& table, const PhaseCurve& curve) {
  double seen = 0.0;
  double cells = 0.0;
  for (std::size_t c = 0; c < table.cells; ++c) {
    if (!curve.edge[c] || curve.count[c] == 0.0) continue;
    cells += 1.0;
    for (std::size_t s = 0; s < table.stretches; ++s) seen += table.count_in(s, c) > 0.0;
  }
  return cells > 0.0 ? seen / cells / static_cast<double>(table.stretches) : 0.0;
}

}  // namespace

ClockFigure told_together(const ClockFigure& one, const ClockFigure& other) {
  if (!(one.sd < unknown)) return other;
  if (!(other.sd < unknown)) return one;
  const double a = 1.0 / (one.sd * one.sd);
  const double b = 1.0 / (other.sd * other.sd);
  if (!(a < unknown)) return one;
  if (!(b < unknown)) return other;
  return {(a * one.value + b * other.value) / (a + b), 1.0 / std::sqrt(a + b)};
}

std::optional<StretchPhases> stretch_phases(const PhaseTable& table, const PhaseCurve& curve,
                                            const std::vector<CellCurve>& others) {
  if (table.stretches < fewest_stretches) return std::nullopt;
  const auto cells = static_cast<double>(table.cells);
  std::vector<Phase> by_slopes(table.stretches), by_edges(table.stretches);
  for (std::size_t s = 0; s < table.stretches; ++s) {
    for (std::size_t c = 0; c < table.cells; ++c) {
      const double n = table.count_in(s, c);
      if (n == 0.0 || curve.slope[c] == 0.0) continue;
      const double others_count = table.total[c].count - n;
      // On which side of an edge it lies, no other stretch can say.
      if (curve.edge[c] && others_count == 0.0) continue;
      Phase& phase = curve.edge[c] ? by_edges[s] : by_slopes[s];
      const double slope = curve.slope[c];
      const double beyond = table.value_in(s, c) -
                            n * others[s].at(static_cast<std::ptrdiff_t>(c)) -
                            curve.slope_within(c) * table.offset_in(s, c) / cells;
      // What the others do not know well tells little.
      const double trust = std::max(others_count, alone_counts) / (others_count + n);
      phase.turns += trust * slope * beyond;
      phase.weight += trust * slope * slope * n;
    }
    for (Phase* phase : {&by_slopes[s], &by_edges[s]}) {
      if (phase->weight > 0.0) phase->turns /= phase->weight;
    }
  }
  PhaseLine slope_line = line_through(by_slopes, table.noise_sd);
  PhaseLine edge_line = line_through(by_edges, table.noise_sd);
  const auto n = static_cast<double>(table.stretches);
  // Stretches whose phases hardly meet may slide against each other by a whole sample.
  const double share = edges_shared(table, curve);
  const bool edges = share > 0.0;
  const bool meet = share >= least_shared;
  const double gap_sd = anywhere_sd * (meet ? table.phase_gap : table.sample_turns);
  // Slopes that end in an edge are bent there, by parts of a cell.
  if (edge_line.phase_sd < unknown) {
    const double bent = bent_cells / static_cast<double>(table.cells);
    slope_line.phase_sd = std::hypot(slope_line.phase_sd, bent);
    slope_line.turns_a_stretch.sd =
        std::hypot(slope_line.turns_a_stretch.sd, std::sqrt(12.0) * bent / n);
  }
  // Two ends of a line, each anywhere in its gap.
  edge_line.turns_a_stretch.sd =
      std::hypot(edge_line.turns_a_stretch.sd, std::sqrt(2.0) * gap_sd / n);
  edge_line.phase_sd = std::hypot(edge_line.phase_sd, gap_sd);
  const ClockFigure line = told_together(slope_line.turns_a_stretch, edge_line.turns_a_stretch);
  if (!(line.sd < unknown) || !(std::abs(line.value) * n < most_turns)) return std::nullopt;
  StretchPhases phases;
  phases.off_hz = {line.value / table.stretch_s, line.sd / table.stretch_s};
  phases.phase_sd_by_slopes = slope_line.phase_sd;
  phases.edges_tell = meet && table.phase_gap < most_unfilled * table.sample_turns;
  if (edges && !phases.edges_tell) {
    phases.slide_turns = std::sqrt(2.0) * anywhere_sd * table.sample_turns;
  }
  phases.phase_sd_by_edges = edge_line.phase_sd;
  return phases;
}

}  // namespace lampbeat::signal::cycle
