#pragma once

#include <optional>

#include "signal/cycle/extreme_boxes.hpp"
#include "signal/cycle/phase_table.hpp"

namespace lampbeat::signal::cycle {

/// A value read from a table, less the table's middle.
struct TableReading {
  double value = 0.0;
  double sd = 0.0;     ///< by the noise: other stretches of the same light would read otherwise
  double bound = 0.0;  ///< by cells, gaps between phases and what the shape hides: they would not

  double uncertainty() const;
};

/// Whether two readings may be of one extreme: they differ by no more standard deviations.
inline constexpr double same_sds = 3.0;
bool of_one_thing(const TableReading& one, const TableReading& other, double sds = same_sds);

/// Of many places one reads far by chance; what lies as far off as this is no chance.
inline constexpr double beyond_chance_sds = 5.0;

/// The highest (sign +1) or lowest (sign −1) value of the cycle: the limit of the most extreme box
/// as its width goes to nothing, from the width at which noise and width leave it least uncertain.
/// Where the phases leave gaps of more than a 32nd of the cycle, the most extreme of them, which
/// stands for what lies up to its neighbours. Empty where no stretch has a sample where the others
/// are extreme.
std::optional<TableReading> box_extreme(const TableViews& views, double sign);

/// Both extremes of a cycle that three harmonics or fewer describe to within the noise; empty for
/// every other. Sines are by far the most common ones of those, and their curve is known several
/// times better than any place of it alone.
struct CurveExtremes {
  TableReading highest;
  TableReading lowest;
};
std::optional<CurveExtremes> curve_extremes(const PhaseTable& table);

}  // namespace lampbeat::signal::cycle
