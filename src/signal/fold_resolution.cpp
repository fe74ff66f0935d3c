#include <algorithm>
#include <bit>
#include <limits>
#include <utility>

#include "signal/fold.hpp"

namespace lampbeat::signal {
namespace {

constexpr std::size_t coarsest_division = 8;

/// Two neighbouring cells of the first rhythm, or two rows of the second, become one.
Fold merged(const Fold& fine, bool along_first) {
  Fold coarse;
  coarse.mean = fine.mean;
  coarse.samples = fine.samples;
  coarse.resolution = fine.resolution;
  (along_first ? coarse.resolution.first : coarse.resolution.second) /= 2;
  for (unsigned h = 0; h < 2; ++h) {
    coarse.half[h].resize(coarse.resolution.cells());
    for (std::size_t j = 0; j < fine.resolution.second; ++j) {
      for (std::size_t i = 0; i < fine.resolution.first; ++i) {
        const CellSums& from = fine.half[h][j * fine.resolution.first + i];
        const std::size_t to = along_first ? j * coarse.resolution.first + i / 2
                                           : (j / 2) * coarse.resolution.first + i;
        coarse.half[h][to].count += from.count;
        coarse.half[h][to].value += from.value;
        coarse.half[h][to].square += from.square;
      }
    }
  }
  return coarse;
}

/// Mean squared error of predicting each half's samples from the other half's cells, over the
/// samples for which there is a prediction. A division so fine that most cells lack one is refused.
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
  if (predicted < 0.6 * fold.samples) return std::numeric_limits<double>::infinity();
  return error / predicted;
}

}  // namespace

Resolution choose_resolution(const PhasedSamples& samples) {
  const std::size_t budget =
      std::clamp(std::bit_floor(samples.size() / 4), coarsest_division, finest_division);
  Resolution best{coarsest_division, samples.second.empty() ? 1 : coarsest_division};
  double least = std::numeric_limits<double>::infinity();
  const auto consider = [&](const Fold& fold) {
    const double error = prediction_error(fold);
    // Equal but for rounding counts as no better: the finer division, tried first, stays.
    if (error < least * (1.0 - 1e-9)) {
      least = error;
      best = fold.resolution;
    }
  };
  if (samples.second.empty()) {
    Fold fold = fold_samples(samples, {budget, 1});
    consider(fold);
    while (fold.resolution.first > coarsest_division) {
      fold = merged(fold, true);
      consider(fold);
    }
    return best;
  }
  const std::size_t widest = std::max(coarsest_division, budget / coarsest_division);
  for (std::size_t first = coarsest_division; first <= widest; first *= 2) {
    Fold fold = fold_samples(samples, {first, std::max(coarsest_division, budget / first)});
    consider(fold);
    while (fold.resolution.second > coarsest_division) {
      fold = merged(fold, false);
      consider(fold);
    }
  }
  return best;
}

}  // namespace lampbeat::signal
