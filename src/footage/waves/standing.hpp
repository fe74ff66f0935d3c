#pragma once

#include <optional>

#include "footage/waves/row_profile.hpp"
#include "footage/waves/wave.hpp"

namespace lampbeat::footage::waves {

struct StandingSearch {
  std::optional<Wave> wave;  ///< roll 0
  /// Amplitude a standing pattern needs to be noticed; empty of too few usable rows.
  std::optional<double> smallest_seen;
};
/// Looks for bands that stand still in a profile.
StandingSearch find_standing(const RowProfile& profile);

}  // namespace lampbeat::footage::waves
