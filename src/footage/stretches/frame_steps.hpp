#pragma once

#include <optional>
#include <vector>

#include "footage/stretches/frame_phases.hpp"

namespace lampbeat::footage {

/// What the steps of the pattern's phase from frame to frame say about when frames were taken.
struct FrameSteps {
  bool judged = false;   ///< the phases are clear enough to say anything
  bool even = false;     ///< one step fits all, or all once the lost frames are put back
  double step = 0.0;     ///< turns per frame
  double scatter = 0.0;  ///< of the steps beyond their noise, in turns
  /// A lost frame would have shown: its step differs from the others.
  bool losses_would_show = false;
  /// Frames lost before each frame.
  std::vector<std::size_t> lost;
  /// Frames that show the phase of the one before in place of their own.
  std::vector<bool> repeated;
  /// The same, put in between: the next one moves on by one step from there.
  std::vector<bool> inserted;

  std::size_t lost_frames() const;
  std::size_t repeated_frames() const;
};
FrameSteps frame_steps(const FramePhases& phases);

}  // namespace lampbeat::footage
