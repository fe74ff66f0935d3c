#include <algorithm>
#include <bit>
#include <limits>
#include <optional>
#include <utility>
#include <vector>

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

/// Mean squared error of predicting each half's samples from the other half's cells, over the
/// samples for which there is a prediction.
double prediction_error(const Fold& fold) {
  double error = 0.0;
  double predicted = 0.0;
  for (std::size_t cell = 0; cell < fold.resolution.cells(); ++cell) {
    if (!fold.usable(cell)) continue;
    for (unsigned h = 0; h < 2; ++h) {
      const CellSums& seen = fold.half[h][cell];
      const double guess = fold.half[1 - h][cell].mean();
      error += std::max(0.0, seen.square - 2.0 * guess * seen.value + seen.count * guess * guess);
      predicted += seen.count;
    }
  }
  if (predicted < least_predicted * fold.samples) return std::numeric_limits<double>::infinity();
  return error / predicted;
}

/// The fold and all its mergers down to the coarsest, along the second rhythm.
std::vector<Fold> all_divisions(Fold finest) {
  std::vector<Fold> folds{std::move(finest)};
  while (folds.back().resolution.second > coarsest_division) {
    folds.push_back(merged(folds.back(), false));
  }
  return folds;
}

/// Keeps the fold that predicts best of all it is shown.
class Best {
 public:
  void consider(std::vector<Fold>& folds) {
    for (Fold& fold : folds) {
      const double error = prediction_error(fold);
      if (!(error < surely_better * least_)) continue;
      least_ = error;
      fold_ = std::move(fold);
    }
  }
  std::optional<Fold>& fold() { return fold_; }

 private:
  std::optional<Fold> fold_;
  double least_ = std::numeric_limits<double>::infinity();
};

}  // namespace

Fold best_fold(PhasedSamples& samples) {
  const std::size_t budget = std::clamp(std::bit_floor(samples.size() / samples_a_cell),
                                        coarsest_division, finest_division);
  Best best;
  level_out(samples, gather(samples, {levelling_torus, levelling_torus}));
  const std::size_t widest = std::max(coarsest_division, budget / coarsest_division);
  for (std::size_t first = coarsest_division; first <= widest; first *= 2) {
    const std::size_t second = std::max(coarsest_division, budget / first);
    std::vector<Fold> folds = all_divisions(gather(samples, {first, second}));
    best.consider(folds);
  }
  Fold fold = best.fold() ? std::move(*best.fold())
                          : gather(samples, {coarsest_division, coarsest_division});
  judge(fold);
  return fold;
}

}  // namespace lampbeat::signal::cycle
