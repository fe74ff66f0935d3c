#pragma once

#include "lampbeat/comparison.hpp"

namespace lampbeat::reasoning::comparison {

/// What all the evidence comes to, and why, what decided first.
struct Decision {
  ChangeVerdict verdict = ChangeVerdict::unknown;
  Findings reasons;
};

/// Weighs the figures, the filming classes and the rhythms of a comparison whose two sides can be
/// compared at all.
Decision decide(const Comparison& comparison);

/// Figures of the camera that changed: then the clips were not filmed alike.
Findings camera_changed(const std::vector<FigureChange>& figures);

}  // namespace lampbeat::reasoning::comparison
