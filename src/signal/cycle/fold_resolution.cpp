#include <algorithm>
#include <array>
#include <bit>
#include <cstdint>
#include <limits>
#include <vector>

#include "arithmetic/lanes.hpp"
#include "signal/cycle/cell_place.hpp"
#include "signal/cycle/fold.hpp"

namespace lampbeat::signal::cycle {
namespace {

constexpr std::size_t coarsest_division = 8;
/// Samples a cell at least, for both halves to have two in nearly each.
constexpr std::size_t samples_a_cell = 4;
/// A division in which fewer of the samples have one in the other half to predict them by is
/// refused: what it says of the rest is chance.
constexpr double least_predicted = 0.6;
/// Equal but for rounding counts as no better: the finer division, tried first, stays.
constexpr double surely_better = 1.0 - 1e-9;
/// Cells enough to see a drift of the level, full enough to see nothing else.
constexpr std::size_t levelling_torus = 16;

/// What choosing asks of one half's samples in a cell; the rest is summed for the chosen division.
struct HalfSums {
  double count = 0.0;
  double value = 0.0;
  double square = 0.0;

  double mean() const { return value / count; }
  void add(const HalfSums& other) {
    count += other.count;
    value += other.value;
    square += other.square;
  }
};

/// Both halves' sums of a cell lie side by side.
using CellHalves = std::array<HalfSums, 2>;

/// The torus in a division: cell (i, j) at j * first + i.
struct Division {
  Resolution resolution;
  std::vector<CellHalves> cell;
};

/// What a sample brings to any division: its cells in the finest, of which coarser ones consist.
struct PlacedSample {
  double value = 0.0;  ///< less the mean
  std::uint16_t first = 0;
  std::uint16_t second = 0;
  std::uint16_t half = 0;
};

std::vector<PlacedSample> placed(const PhasedSamples& samples) {
  const double mean = arithmetic::sum_of(samples.value) / static_cast<double>(samples.size());
  std::vector<PlacedSample> all(samples.size());
  for (std::size_t i = 0; i < all.size(); ++i) {
    all[i] = {samples.value[i] - mean,
              static_cast<std::uint16_t>(place_in(samples.first[i], finest_division).cell),
              static_cast<std::uint16_t>(place_in(samples.second[i], finest_division).cell),
              static_cast<std::uint16_t>(samples.half[i])};
  }
  return all;
}

Division divided(const std::vector<PlacedSample>& samples, Resolution resolution) {
  Division division{resolution, std::vector<CellHalves>(resolution.cells())};
  const int first_shift = std::countr_zero(finest_division / resolution.first);
  const int second_shift = std::countr_zero(finest_division / resolution.second);
  for (const PlacedSample& sample : samples) {
    const auto i = static_cast<std::size_t>(sample.first >> first_shift);
    const auto j = static_cast<std::size_t>(sample.second >> second_shift);
    HalfSums& sums = division.cell[j * resolution.first + i][sample.half];
    sums.count += 1.0;
    sums.value += sample.value;
    sums.square += sample.value * sample.value;
  }
  return division;
}

/// Two neighbouring rows of the second rhythm become one.
void merge_rows(Division& division) {
  const std::size_t row = division.resolution.first;
  division.resolution.second /= 2;
  for (std::size_t at = 0; at < division.resolution.cells(); ++at) {
    const std::size_t upper = at / row * 2 * row + at % row;
    CellHalves sum = division.cell[upper];
    for (const unsigned h : {0U, 1U}) sum[h].add(division.cell[upper + row][h]);
    division.cell[at] = sum;
  }
  division.cell.resize(division.resolution.cells());
}

/// Mean squared error of predicting each half's samples from the other half's cells, over the
/// samples for which there is a prediction.
double prediction_error(const Division& division, double samples) {
  double error = 0.0;
  double predicted = 0.0;
  for (const CellHalves& cell : division.cell) {
    if (cell[0].count == 0.0 || cell[1].count == 0.0) continue;
    for (const unsigned h : {0U, 1U}) {
      const HalfSums& seen = cell[h];
      const double guess = cell[1 - h].mean();
      error += std::max(0.0, seen.square - 2.0 * guess * seen.value + seen.count * guess * guess);
      predicted += seen.count;
    }
  }
  if (predicted < least_predicted * samples) return std::numeric_limits<double>::infinity();
  return error / predicted;
}

/// The division that predicts best; the coarsest where none does.
Resolution best_resolution(const PhasedSamples& samples) {
  const std::size_t budget = std::clamp(std::bit_floor(samples.size() / samples_a_cell),
                                        coarsest_division, finest_division);
  const std::vector<PlacedSample> all = placed(samples);
  const auto count = static_cast<double>(all.size());
  Resolution best{coarsest_division, coarsest_division};
  double least = std::numeric_limits<double>::infinity();
  const std::size_t widest = std::max(coarsest_division, budget / coarsest_division);
  for (std::size_t first = coarsest_division; first <= widest; first *= 2) {
    Division division = divided(all, {first, std::max(coarsest_division, budget / first)});
    while (true) {
      const double error = prediction_error(division, count);
      if (error < surely_better * least) {
        least = error;
        best = division.resolution;
      }
      if (division.resolution.second <= coarsest_division) break;
      merge_rows(division);
    }
  }
  return best;
}

}  // namespace

Fold best_fold(PhasedSamples& samples) {
  level_out(samples, gather(samples, {levelling_torus, levelling_torus}));
  Fold fold = gather(samples, best_resolution(samples));
  judge(fold);
  return fold;
}

}  // namespace lampbeat::signal::cycle
