#pragma once

#include <vector>

#include "footage/rows/cells.hpp"

namespace lampbeat::footage::waves {

/// How the light of a scene runs down the rows.
struct RowProfile {
  std::vector<double> value;  ///< relative, NaN where a row could not be used
  clips::RowScale scale;
  int shading_degree = 0;     ///< of the polynomial that lens and light fall-off may add
  double fewest_bands = 0.4;  ///< coarser patterns are indistinguishable from shading
};

/// Fewer bands than these share their shape with a wall's shading: a cubic takes 96 % of the power
/// of one band with it, 60 % of one and a half (82 % at the worst phase), 17 % of two.
constexpr double fewest_on_wall = 1.5;

/// A wall declared evenly lit: its rows should differ by smooth shading only.
RowProfile wall_profile(const std::vector<float>& scene, const rows::Cells& layout);
/// The same view at a safe shutter: what differs beside an overall factor is the light's doing.
RowProfile against_reference(const std::vector<float>& scene, const std::vector<float>& reference,
                             const rows::Cells& layout);

/// Contrast from the darkest to the brightest part of a profile: no standing pattern is deeper,
/// unless the surface happens to mirror it.
double whole_contrast(const RowProfile& profile);

}  // namespace lampbeat::footage::waves
