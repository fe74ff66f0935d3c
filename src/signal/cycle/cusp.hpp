#pragma once

#include <optional>

#include "signal/cycle/surroundings.hpp"

namespace lampbeat::signal::cycle {

/// Where an extreme is looked for.
struct ExtremePlace {
  const Fold& fold;
  unsigned chosen_in = 0;  ///< the half that chooses; the other one is read
  double sign = 1.0;       ///< +1 for the highest, -1 for the lowest
  std::size_t cell = 0;    ///< the extreme one

  unsigned read_in() const { return 1 - chosen_in; }
  double variance() const { return fold.noise_sd * fold.noise_sd; }  ///< of one sample
};

/// Where two straight lines meet beyond the cells: the zero of |sin|, the tip of a triangle. Empty
/// where the extreme is no cusp. Relative to the fold's mean.
std::optional<Reading> read_cusp(const ExtremePlace& place, const Surroundings& around);

}  // namespace lampbeat::signal::cycle
