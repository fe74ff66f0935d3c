#include "signal/cycle/folded_rhythm.hpp"

#include <algorithm>
#include <cmath>
#include <vector>

#include "signal/cycle/converter_step.hpp"
#include "signal/cycle/level_slope.hpp"
#include "signal/cycle/percent_moved.hpp"
#include "signal/cycle/phase_table.hpp"
#include "signal/cycle/stretch_phases.hpp"
#include "signal/cycle/table_extreme.hpp"
#include "signal/cycle/table_index.hpp"

namespace lampbeat::signal::cycle {
namespace {

/// A frequency that is off smears the cycle; sharp edges show what remains of it in the next fold.
constexpr int most_refolds = 3;
/// A frequency that moves the cycle by less than this share of a cell from the window's middle to
/// its ends smears nothing; it is known all the same.
constexpr double near_enough_cells = 0.2;
constexpr std::size_t shape_points_at_most = 256;

/// A table and what its stretches say of the rhythm's clock.
struct SharpFold {
  PhaseTable table;
  PhaseCurve curve;
  std::vector<CellCurve> others;
  double hz = 0.0;  ///< folded with
  std::optional<StretchPhases> clock;
};

std::optional<SharpFold> fold_once(const Window& window, const Rhythm& rhythm,
                                   const FoldSettings& settings) {
  std::optional<PhaseTable> table = fold(window, rhythm, settings);
  if (!table) return std::nullopt;
  SharpFold once{std::move(*table), {}, {}, rhythm.hz, {}};
  once.curve = phase_curve(once.table);
  once.others = each_left_out(once.table, once.curve);
  once.clock = stretch_phases(once.table, once.curve, once.others);
  return once;
}

/// By how much the frequency that is off smears either half of the window, cells.
double smeared_cells(const SharpFold& fold) {
  const double half_s = fold.table.stretch_s * static_cast<double>(fold.table.stretches) / 2.0;
  return std::abs(fold.clock->off_hz.value) * half_s * static_cast<double>(fold.table.cells);
}

/// Folds, and folds again with the frequency that the fold itself tells. A slow linear change of
/// the light's level (warm-up, a hand on the dimmer) is divided out where it is significant.
std::optional<SharpFold> sharp_fold(const Window& window, Rhythm rhythm, std::size_t cells) {
  FoldSettings settings{cells, {}};
  std::optional<SharpFold> sharp = fold_once(window, rhythm, settings);
  for (int i = 0; i < most_refolds && sharp; ++i) {
    const bool near = !sharp->clock || smeared_cells(*sharp) < near_enough_cells;
    const LevelSlope level = settings.level.none() ? level_slope(sharp->table) : LevelSlope{};
    if (near && level.none()) break;
    if (!level.none()) settings.level = level;
    if (!near) rhythm.hz = sharp->hz + sharp->clock->off_hz.value;
    auto sharper = fold_once(window, rhythm, settings);
    if (!sharper) break;
    sharp = std::move(sharper);
  }
  return sharp;
}

void keep_surer(TableReading& reading, const TableReading& other) {
  // A curve that surely says otherwise leaves something out.
  if (!of_one_thing(reading, other, beyond_chance_sds)) return;
  if (other.uncertainty() < reading.uncertainty()) reading = other;
}

/// The averaged cycle over points whose first lies at phase zero.
std::vector<double> shape_of(const TableViews& views) {
  const std::size_t points = std::min(shape_points_at_most, views.curve.cells());
  const std::size_t cells = views.curve.cells() / points;
  std::vector<double> shape(points);
  for (std::size_t k = 0; k < points; ++k) {
    const std::size_t from = (k * cells + views.curve.cells() - cells / 2) % views.curve.cells();
    shape[k] = views.table.middle + views.curve.mean(from, cells);
  }
  return shape;
}

std::optional<CycleFigures> figures_of(const TableViews& views) {
  const PhaseTable& table = views.table;
  auto highest = box_extreme(views, +1.0);
  auto lowest = box_extreme(views, -1.0);
  const auto curve = curve_extremes(table);
  if (curve && highest && lowest) {
    keep_surer(*highest, curve->highest);
    keep_surer(*lowest, curve->lowest);
  } else if (curve) {
    highest = curve->highest;
    lowest = curve->lowest;
  }
  if (!highest || !lowest) return std::nullopt;
  const double rounding = rounding_left(table.step, table.noise_sd);
  highest->bound = std::hypot(highest->bound, rounding);
  lowest->bound = std::hypot(lowest->bound, rounding);

  CycleFigures figures;
  figures.highest = table.middle + highest->value;
  figures.lowest = table.middle + lowest->value;
  const double sum = figures.highest + figures.lowest;
  const double range = std::max(0.0, figures.highest - figures.lowest);
  const auto index = table_index(views, range);
  figures.mean = index.mean;
  if (!(figures.mean > 0.0) || !(sum > 0.0)) return std::nullopt;
  const auto propagated = [&](double of_highest, double of_lowest) {
    return percent_moved(figures.highest, figures.lowest, of_highest, of_lowest);
  };
  // Noise can leave an unmodulated cycle's "highest" below its "lowest"; that is no flicker.
  figures.percent_flicker = 100.0 * range / sum;
  figures.percent_flicker_bound = propagated(highest->bound, lowest->bound);
  figures.percent_flicker_sd =
      std::hypot(propagated(highest->sd, lowest->sd), figures.percent_flicker_bound);
  figures.flicker_index = std::max(0.0, index.index.value);
  figures.flicker_index_bound = index.index.bound;
  figures.flicker_index_sd = index.index.uncertainty();
  figures.shape = shape_of(views);
  return figures;
}

}  // namespace

std::optional<FoldedRhythm> folded_rhythm(const Window& window, const Rhythm& rhythm,
                                          std::size_t cells) {
  std::optional<SharpFold> sharp = sharp_fold(window, rhythm, cells);
  if (!sharp) return std::nullopt;
  const TableViews views(sharp->table, sharp->curve, sharp->others);
  std::optional<CycleFigures> figures = figures_of(views);
  if (!figures) return std::nullopt;
  FoldedRhythm folded;
  folded.figures = std::move(*figures);
  folded.folded_with_hz = folded.hz = sharp->hz;
  if (sharp->clock) {
    folded.hz += sharp->clock->off_hz.value;
    folded.hz_sd = sharp->clock->off_hz.sd;
    folded.phase_sd_by_slopes = sharp->clock->phase_sd_by_slopes;
    folded.phase_sd_by_edges = sharp->clock->phase_sd_by_edges;
    folded.edges_tell = sharp->clock->edges_tell;
    folded.slide_turns = sharp->clock->slide_turns;
  }
  folded.curve = std::move(sharp->curve);
  return folded;
}

}  // namespace lampbeat::signal::cycle
