#include <algorithm>
#include <cmath>
#include <optional>
#include <vector>

#include "signal/cycle/cusp.hpp"
#include "signal/cycle/extreme_cell.hpp"
#include "signal/cycle/surroundings.hpp"
#include "signal/cycle/vertex.hpp"

// An extreme is read from a small polynomial over the cells around it, as far as the samples let a
// polynomial stand: wide over a smooth crest in noise, a single cell beside a switching edge, two
// straight lines at a cusp such as the zero of |sin|. Everything that chooses (the cell, the width,
// the place within) comes from one half of the cycles; only the value comes from the other half, so
// the noise that made a place look extreme is not in the figure.

namespace lampbeat::signal::cycle {
namespace {

/// Samples a reading may waste: the variance of the value at a place against that of the plain
/// mean. Nine at the end of a parabola; more means extrapolation.
constexpr double most_leverage = 20.0;
/// Standard deviations of a chi-squared sum that a polynomial's misfit may have: one in the half
/// that chooses, three in the half that is read, which need not have been asked.
constexpr double chosen_sds = 1.0;
constexpr double read_sds = 3.0;
/// What the cycle may rise above a cell, of the larger step to a neighbour: a parabola's vertex, at
/// most half a cell off, stands an eighth of it higher; twice that leaves room for sharper crests.
constexpr double rise_within_cell = 0.25;
/// Crests narrower than four cells to either side are not fitted from one side.
constexpr std::size_t least_one_sided = 4;

/// A reading and what it risks.
struct Candidate {
  Reading reading;
  double risk = 0.0;  ///< variance and squared model error
};

Candidate candidate(Reading reading, double error) {
  return {reading, reading.variance + error * error};
}

/// The cell as it stands, whatever lies within it.
Candidate of_cell(const ExtremePlace& place) {
  const Fold& fold = place.fold;
  const auto& chosen = fold.half[place.chosen_in];
  const Surroundings along(fold, place.cell, true, 1);
  double step = 0.0;
  for (const auto* side : {&along.before(), &along.after()}) {
    if (side->empty()) continue;
    const double beside = chosen[side->front().cell].mean();
    step = std::max(step, std::abs(chosen[place.cell].mean() - beside));
  }
  const CellSums& read = fold.half[place.read_in()][place.cell];
  return candidate({read.mean(), place.variance() / read.count}, rise_within_cell * step);
}

/// A polynomial over cells none of which but the extreme one holds an edge.
std::optional<Candidate> of_polynomial(const ExtremePlace& place, Shape shape, bool along_first,
                                       const std::vector<Neighbour>& cells) {
  const Fold& fold = place.fold;
  if (cells.empty()) return std::nullopt;
  for (const Neighbour& c : cells) {
    if (c.cell != place.cell && holds_edge(fold, c.cell)) return std::nullopt;
  }
  const auto chosen = fit_polynomial(fold, place.chosen_in, shape, along_first, cells);
  if (!chosen || !stands(fold, *chosen, chosen_sds)) return std::nullopt;
  const auto read = fit_polynomial(fold, place.read_in(), shape, along_first, cells);
  // Residuals say nothing about the fitted value, so that asking this half, too, favours none.
  if (!read || !stands(fold, *read, read_sds)) return std::nullopt;
  const Spot spot = most_extreme(*chosen, place.sign, cells);
  const double leverage = read->leverage(spot);
  if (leverage * read->weight > most_leverage) return std::nullopt;
  const double misfit =
      std::max(0.0, chosen->misfit / chosen->freedom - place.variance()) * leverage;
  const double error = model_error(fold, *chosen);
  return candidate({read->at(spot), place.variance() * leverage},
                   std::sqrt(misfit + error * error));
}

/// Keeps the less risky of two.
void keep_better(Candidate& best, const std::optional<Candidate>& other) {
  if (other && other->risk < best.risk) best = *other;
}

/// Parabolas over strips of growing width, to both sides and to either.
void try_strips(Candidate& best, const ExtremePlace& place, const Surroundings& around) {
  const auto consider = [&](std::size_t before, std::size_t after) {
    keep_better(best, of_polynomial(place, Shape::parabola, around.along_first(),
                                    around.strip(before, after)));
  };
  for (std::size_t h = 2; h <= around.crest(); h += std::max<std::size_t>(1, h / 3)) {
    consider(h, h);
    if (h < least_one_sided) continue;
    consider(h, 0);
    consider(0, h);
  }
}

/// Bowls over patches of growing size.
void try_patches(Candidate& best, const ExtremePlace& place, const Surroundings& around) {
  const auto reach = [](std::size_t n) {
    return std::max<std::size_t>(1,
                                 static_cast<std::size_t>(static_cast<double>(n) * widest_reach));
  };
  for (std::size_t a = 1; a <= reach(around.length()); a *= 2) {
    for (std::size_t b = 1; b <= reach(around.width()); b *= 2) {
      keep_better(best, of_polynomial(place, Shape::bowl, true, around.patch(a, b)));
    }
  }
}

}  // namespace

Reading read_extreme(const Fold& fold, unsigned chosen_in, double sign) {
  const ExtremePlace place{fold, chosen_in, sign, extreme_cell(fold, chosen_in, sign)};
  const Surroundings along(fold, place.cell, true);
  Candidate best = of_cell(place);
  try_strips(best, place, along);
  try_strips(best, place, Surroundings(fold, place.cell, false));
  try_patches(best, place, along);
  // A cusp is what it is, however wide.
  Reading reading = read_cusp(place, along).value_or(best.reading);
  reading.value += fold.mean;
  return reading;
}

}  // namespace lampbeat::signal::cycle
