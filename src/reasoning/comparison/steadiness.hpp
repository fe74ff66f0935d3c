#pragma once

#include <optional>

#include "lampbeat/comparison.hpp"

namespace lampbeat::reasoning::comparison {

/// A clock that strays smears its rhythm over lines, over light that no line explains and over
/// states, which are others in each capture of one and the same light.
bool clock_strays(const Occasion& occasion);

/// Light in no rhythm, rms as a fraction of the mean.
double irregular_rms(const Occasion& occasion);

/// Irregular light of `after` that is more than came with `before` or that its own rhythms leave
/// behind: how it films is judged at its worst, and that it is the light's old way is not known.
std::optional<Finding> more_irregular(const Occasion& before, const Occasion& after);

/// The light was the same all along one time, and changed or went out the other. Of one that
/// strays, or is irregular, moments may pass for states.
std::optional<Finding> other_states(const Occasion& before, const Occasion& after);

}  // namespace lampbeat::reasoning::comparison
