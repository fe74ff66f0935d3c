#pragma once

#include <optional>

#include "footage/stretches/frame_phases.hpp"
#include "footage/stretches/placed_frames.hpp"

namespace lampbeat::footage::stretches {

/// What the steps of the pattern's phase from frame to frame say about when frames were taken.
struct FrameSteps {
  bool even = false;     ///< one step fits all, or all once the lost frames are put back
  double step = 0.0;     ///< turns per frame
  double scatter = 0.0;  ///< of the steps beyond their noise, in turns
  double usual = 0.0;    ///< share of the steps that are the usual one
  double told = 0.0;     ///< share of them that are, or that lost and repeated frames explain
  /// A lost frame would have shown: its step differs from the others.
  bool losses_would_show = false;
  FrameFates fates;

  std::size_t lost_frames() const;
  std::size_t repeated_frames() const;
};
/// Empty where the phases are not clear enough to say anything.
std::optional<FrameSteps> frame_steps(const FramePhases& phases);

}  // namespace lampbeat::footage::stretches
