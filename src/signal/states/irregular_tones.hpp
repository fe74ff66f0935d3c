#pragma once

#include "signal/states/state_figures.hpp"

namespace lampbeat::signal::states {

/// What is left of a state's tones without those that are irregular light, and all its irregular
/// light, they included: rms over the level.
struct IrregularTones {
  ToneAnalysis tones;
  double irregular = 0.0;
};

/// In a few seconds of irregular light some tones stand out by chance. A tone is one of those when
/// it lies in a band of irregular light of the state itself or of the other and is no stronger than
/// twice what that band holds.
IrregularTones without_irregular(const JudgedState& state, const JudgedState& other);

}  // namespace lampbeat::signal::states
