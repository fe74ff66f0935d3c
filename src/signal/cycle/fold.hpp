#pragma once

#include <cstddef>
#include <optional>
#include <vector>

#include "lampbeat/cycle.hpp"

// Folding a window on two rhythms at once, in three steps: give every sample its phases, choose how
// finely to divide the torus they make, and read the extremes of the averaged cycle.

namespace lampbeat::signal::cycle {

/// Samples over whole cycles, each with its phase in every rhythm and the half it votes in.
struct PhasedSamples {
  std::vector<double> value;
  std::vector<double> time_s;
  std::vector<double> first;   ///< phase in the first rhythm, 0 <= phase < 1 cycle
  std::vector<double> second;  ///< phase in the second rhythm; empty when there is none
  std::vector<unsigned> half;  ///< 0 or 1, by cycle of the slower rhythm
  std::size_t size() const { return value.size(); }
};

/// Trims to whole cycles and finds the phases. Empty with fewer than three cycles of the slower
/// rhythm, and for frequencies or samples that are not finite.
/// The two halves share out the cycles in the Thue-Morse order 0110 1001 ..., so that neither a
/// drift nor a difference between odd and even cycles looks like a difference between the halves.
std::optional<PhasedSamples> phase_samples(const Window& window,
                                           const std::vector<Rhythm>& rhythms);

/// How finely each rhythm's cycle is divided.
struct Resolution {
  std::size_t first = 1;
  std::size_t second = 1;
  std::size_t cells() const { return first * second; }
};

/// Sums over the samples of one half that fell into one cell. Offsets are from the cell's centre,
/// in units of the cell's width.
struct CellSums {
  double count = 0, value = 0, square = 0;
  double u = 0, uu = 0, v = 0, vv = 0, uv = 0;  ///< u along the first rhythm, v along the second
  double xu = 0, xv = 0;                        ///< value times offset
  double mean() const { return value / count; }
};

/// The folded window.
struct Fold {
  Resolution resolution;
  std::vector<CellSums> half[2];  ///< cell (i, j) at index j * resolution.first + i
  double noise_sd = 0.0;          ///< of one sample, from the scatter within the cells
  double samples = 0.0;
  double mean = 0.0;
  double range = 0.0;  ///< between the lowest and the highest cell

  /// What the samples of one cell, both halves together, scatter about a slope through them.
  struct Scatter {
    double sum_of_squares = 0.0;
    double freedom = 0.0;
  };
  Scatter scatter(std::size_t cell) const;

  /// Both halves have samples there.
  bool usable(std::size_t cell) const { return half[0][cell].count > 0 && half[1][cell].count > 0; }
};

/// The finest division of a cycle.
inline constexpr std::size_t finest_division = 8192;

/// The phase at which the first cell begins, in cycles. The same for every division, so that cells
/// merge into coarser ones; irrational, so that samples commensurate with the cycle never lie on a
/// border where rounding would deal them out at random.
inline constexpr double first_border = -0.3819660112501051 / static_cast<double>(finest_division);

/// The sums alone; neither noise nor range yet.
Fold gather(const PhasedSamples& samples, Resolution resolution);

/// Adds noise and range to a fold that only has its sums.
void judge(Fold& fold);

/// Folds at the division of the cycle that lets each half of the cycles predict the other best:
/// fine when the samples are clean or the light has edges, coarse when noise rules. The samples are
/// levelled out first.
Fold best_fold(PhasedSamples& samples);

/// Divides the samples by a slow linear change of the light's level (warm-up, a hand on the
/// dimmer) where there is a significant one, so that it does not pass for flicker; true when it
/// did. `coarse` is a fold of the samples in few cells.
bool level_out(PhasedSamples& samples, const Fold& coarse);

/// A value read from the folded cycle and its variance.
struct Reading {
  double value = 0.0;
  double variance = 0.0;
};

/// The highest (sign +1) or lowest (sign -1) value of the cycle: its place is chosen in half
/// `chosen_in`, its value read in the other.
Reading read_extreme(const Fold& fold, unsigned chosen_in, double sign);

}  // namespace lampbeat::signal::cycle
