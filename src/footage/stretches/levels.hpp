#pragma once

#include <vector>

#include "footage/clips/plane.hpp"

namespace lampbeat::footage::stretches {

/// The level of each frame: the middle of its rows with the pattern divided out. 1 where none of
/// them is known.
std::vector<double> levels_of(const clips::Plane& ratio, const clips::Plane& pattern);

/// Typical size of what rows do beside their frame's level and the pattern, relative.
double unrest_of(const clips::Plane& ratio, const clips::Plane& pattern,
                 const std::vector<double>& level);

/// Gaps replaced by what level and pattern say, other rows pulled in to within `reach` of that.
void pull_in(clips::Plane& ratio, const clips::Plane& pattern, const std::vector<double>& level,
             double reach);

/// Mean of each frame over its rows.
std::vector<double> frame_means_of(const clips::Plane& ratio);

/// Takes the mean of each frame out, then that of each row.
void centre(clips::Plane& plane);

/// Less light than this share of the mean makes quotients worthless.
constexpr double nearly_dark = 0.02;

}  // namespace lampbeat::footage::stretches
