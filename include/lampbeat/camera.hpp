#pragma once

#include <optional>
#include <span>
#include <string>
#include <vector>

#include "lampbeat/finding.hpp"
#include "lampbeat/shot.hpp"

namespace lampbeat {

/// Frame rates cameras commonly offer (common practice, no source), slowest first: 24/1.001 ...
/// 960.
const std::vector<FrameRate>& customary_frame_rates();

/// One recording mode of a camera.
struct CameraMode {
  std::string name;  ///< as in its menu: "Full HD slow"
  FrameRate fps;
  int rows = Shot{}.rows;
  std::optional<double> readout_s;    ///< 0 global; empty when nobody measured it
  std::vector<std::string> shutters;  ///< as written on the dial; empty: not listed
  std::string notes = {};             ///< for people; may be empty
  /// What else its file says of the mode, a JSON object; empty: nothing.
  std::string other_keys = {};
};

/// A camera typed in once. Read from and written to JSON by the records module.
struct Camera {
  std::string name;
  std::vector<CameraMode> modes;
  std::string notes = {};  ///< for people, such as where the figures are from; may be empty
  /// What else its file says, a JSON object; empty: nothing. Kept when the camera is written.
  std::string other_keys = {};
};

/// The mode of this name, whatever its capitals; with an empty name the only mode there is.
/// Throws UsageError listing the modes when there is no such mode, or no name and several modes.
const CameraMode& mode_named(const Camera& camera, const std::string& name);

/// Readout assumed for a camera nobody measured: about the middle of what ordinary rolling shutters
/// take (7 to 33 ms; Ringaby & Forssén, IJCV 96, 2012, and Oth et al., CVPR 2013, second-hand).
inline constexpr double assumed_readout_s = 0.016;

/// The readout to judge with at this frame rate: the known one, or else the assumed one, or the
/// whole frame where that is shorter.
double readout_taken_s(std::optional<double> known_s, FrameRate fps);

/// The shot of a camera whose readout may be unknown.
Shot shot_of(FrameRate fps, double exposure_s, std::optional<double> readout_s,
             int rows = Shot{}.rows);

/// Whether a sensor can read its picture in this time at this frame rate: not longer than a frame,
/// but for the rounding of what was written (1 %).
bool readable_in(double readout_s, FrameRate fps);

/// Those of these frame rates at which a known readout fits into the frame; all where none is
/// known.
std::vector<FrameRate> those_readable(std::vector<FrameRate> rates, std::optional<double> known_s);

/// Throws UsageError naming every frame rate at which a known readout is longer than the frame.
void require_readable(std::optional<double> known_s, std::span<const FrameRate> rates);

/// `readout_assumed`: what was taken at each of these frame rates for want of a known readout.
Finding assumed_readout_finding(std::span<const FrameRate> rates);

}  // namespace lampbeat
