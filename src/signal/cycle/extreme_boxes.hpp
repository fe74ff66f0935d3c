#pragma once

#include <cstddef>
#include <optional>
#include <vector>

#include "signal/cycle/cell_curve.hpp"
#include "signal/cycle/phase_table.hpp"
#include "signal/cycle/table_edges.hpp"

namespace lampbeat::signal::cycle {

/// A table and what is asked of it again and again.
struct TableViews {
  const PhaseTable& table;
  const PhaseCurve& slopes;
  CellCurve curve;
  const std::vector<CellCurve>& others;  ///< of all stretches but one, by stretch
  TableEdges edges;

  /// Keeps references.
  TableViews(const PhaseTable& folded, const PhaseCurve& of_all,
             const std::vector<CellCurve>& left_out);
};

/// The most extreme mean over a box of neighbouring cells. Values are times the sign that was asked
/// for and less the table's middle: more is more extreme.
struct BoxReading {
  std::size_t width = 0;     ///< cells
  std::size_t place = 0;     ///< of the first cell, by all stretches
  bool beside_edge = false;  ///< ends where one begins
  double highest = 0.0;      ///< there: noise that looks extreme is in it
  double between = 0.0;      ///< what a place between two cells would read more
  double value = 0.0;        ///< each stretch read where the others are most extreme
  double sd = 0.0;           ///< of it
  double fall = 0.0;         ///< to the box of twice the width, part of its noise's lift taken out
  double fall_sd = 0.0;
  std::vector<double> of_stretch;  ///< the stretches' own
  std::vector<double> weight;      ///< of them: samples; 0 for a stretch that has none there

  /// By how much noise has lifted the highest above the value. Where noise moves the place, `value`
  /// is read beside the crest by as much as `highest` lies above it.
  double lift() const { return highest - value; }
};

/// Share of the lift that a reading is given back: half where the place moves over a round crest,
/// nothing on a level top.
inline constexpr double lift_given_back = 0.4;

/// Boxes from the narrowest that the samples' phases fill evenly, each twice as wide as the one
/// before, to half a cycle; the last one has no fall. `sign` +1 for the highest, −1 for the lowest.
std::vector<BoxReading> extreme_boxes(const TableViews& views, std::size_t widest_empty,
                                      double sign);

}  // namespace lampbeat::signal::cycle
