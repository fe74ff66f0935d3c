#pragma once

#include <span>
#include <vector>

#include "reasoning/mixture/series.hpp"
#include "reasoning/mixture/swing.hpp"

namespace lampbeat::reasoning::judge {

using mixture::contrast_of;
using mixture::Swing;

/// What exposures leave of one rhythm. An exposure of n + δ cycles collects the same light in its
/// whole cycles wherever it starts, so that what is left is the swing of the last δ cycles, spread
/// over all n + δ: (swing of δ) / (n + δ). One table over δ therefore serves every exposure.
class SwingTable {
 public:
  SwingTable() = default;
  /// `any_waveform`: of a light known by its frequency alone, whose flashes are counted.
  explicit SwingTable(const std::vector<mixture::Harmonic>& harmonics, bool any_waveform = false);

  /// What an exposure of so many cycles (> 0) leaves: never less, and hardly more.
  Swing at(double cycles) const;
  void scale(double factor);

  /// Every exposure between these numbers of cycles of the fundamental stays within this swing in
  /// each direction, and its contrast within that of the worst. Never less, and hardly more.
  struct Bound {
    Swing each;         ///< greatest up, greatest down, not necessarily together
    double both = 0.0;  ///< greatest up + down
    double contrast = 0.0;
  };
  Bound over(double from_cycles, double to_cycles) const;

  /// The least contrast between these numbers of cycles, as far as the table's own steps tell.
  double least_contrast(double from_cycles, double to_cycles) const;

  /// Half of how far the light itself, before any exposure, goes up and down.
  double of_the_light() const;

 private:
  Bound of_flashes(double from_cycles, double to_cycles) const;

  double flashes_ = 0.0;        ///< the share of such a light in the mixture
  std::vector<Swing> by_part_;  ///< δ = 0 ... 1 in even steps, times the exposure in cycles
  double bend_ = 0.0;           ///< how far it may rise above a straight line between two of them
};

}  // namespace lampbeat::reasoning::judge
