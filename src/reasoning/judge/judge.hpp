#pragma once

#include <optional>
#include <span>
#include <string>
#include <vector>

#include "lampbeat/camera.hpp"
#include "lampbeat/prediction.hpp"
#include "reasoning/bands/effort.hpp"
#include "reasoning/judge/scene.hpp"
#include "reasoning/judge/weights.hpp"

// The one judge of what a camera records: contrast (exposure, clock offsets) times weight
// (frequency, frame rate). Predictions, plans, margins, outlooks, ratings and advice ask it.

namespace lampbeat::reasoning::judge {

/// What is recorded while every clock keeps its time.
struct Nominal {
  Recorded figures;
  FrameLight frame;  ///< the frame of its bands
};

struct Worst {
  Recorded figures;
  std::string state;  ///< the lights' states it was found in; empty: as they are
};

/// How far clocks are off, relative to their frequencies.
struct ClockOffsets {
  double mains = 0.0;
  double free = 0.0;  ///< of all free-running lights alike
};

class Judge {
 public:
  /// `lights` are on one mains, `mains_hz` (empty: nothing follows it), with shares that sum to 1.
  /// A readout nobody knows (empty) is assumed for each frame rate by itself.
  Judge(std::span<const LightShare> lights, std::optional<double> mains_hz,
        const Tolerances& tolerances, std::optional<double> readout_s, int rows,
        const Viewing& viewing);

  Judge(std::vector<Scene> scenes, std::optional<double> readout_s, int rows,
        const Viewing& viewing);

  /// All clocks at rest, what no rhythm explains left aside: the most visible of the states.
  Nominal nominal(double exposure_s, FrameRate fps) const;

  /// Every figure at its highest over all states and clocks, never below the nominal one.
  Worst worst(double exposure_s, FrameRate fps, const Recorded& nominal) const;

  /// The visibility of the worst; less than that when it is plain that it is not clean; 0 without a
  /// scene.
  double worst_visibility(double exposure_s, FrameRate fps) const;

  /// Whether the worst is clean: as `worst` says, for a fraction of the work.
  bool clean(double exposure_s, FrameRate fps) const;

  /// The visibility by a quick look, in the worst of the states, with the clocks at exactly these
  /// offsets. Below `clean_below` it may be a ceiling that is below that too.
  double glimpse_at(double exposure_s, FrameRate fps, ClockOffsets offsets) const;

  /// Whether a full look, in the worst of the states with the clocks at these offsets, is not
  /// clean.
  bool shows_at(double exposure_s, FrameRate fps, ClockOffsets offsets) const;

  /// The judge of the same lights whose clocks may be off by these, either way, and by no more.
  Judge reaching(ClockOffsets reach) const;

  /// The judge of the same lights with their modulation `scale` times as deep.
  Judge scaled(double scale) const;

  Shot shot(double exposure_s, FrameRate fps) const {
    return shot_of(fps, exposure_s, readout_s_, rows_);
  }
  const Weights& weights() const { return weights_; }
  const std::vector<Scene>& scenes() const { return scenes_; }

 private:
  std::vector<Scene> scenes_;
  std::optional<double> readout_s_;
  int rows_;
  Weights weights_;
};

}  // namespace lampbeat::reasoning::judge
