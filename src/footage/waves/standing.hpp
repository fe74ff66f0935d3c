#pragma once

#include <optional>
#include <vector>

#include "footage/rows/cells.hpp"
#include "footage/waves/wave.hpp"

namespace lampbeat::footage {

/// How the light of a scene runs down the rows.
struct RowProfile {
  std::vector<double> value;  ///< relative, NaN where a row could not be used
  RowScale scale;
  int shading_degree = 0;     ///< of the polynomial that lens and light fall-off may add
  double fewest_bands = 0.4;  ///< coarser patterns are indistinguishable from shading
};

/// A wall declared evenly lit: its rows should differ by smooth shading only.
RowProfile wall_profile(const std::vector<float>& scene, const Cells& layout);
/// The same view at a safe shutter: what differs beside an overall factor is the light's doing.
RowProfile against_reference(const std::vector<float>& scene, const std::vector<float>& reference,
                             const Cells& layout);

struct StandingSearch {
  std::optional<Wave> wave;    ///< roll 0
  double smallest_seen = 0.0;  ///< amplitude a standing pattern needs to be noticed
};
/// Looks for bands that stand still in a profile.
StandingSearch find_standing(const RowProfile& profile);

}  // namespace lampbeat::footage
