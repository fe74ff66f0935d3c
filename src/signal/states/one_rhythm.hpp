#pragma once

#include "lampbeat/tones.hpp"
#include "lampbeat/window.hpp"

namespace lampbeat::signal::states {

/// The window's tones, series that are parts of one rhythm made one. A spectrum may tell the lines
/// of one rhythm as two: those of a dimmer that lengthens every so many pulses, the folded
/// harmonics of an edge or of a converter's coarse steps. The light itself decides: what goes with
/// the averaged cycle of another series' rhythm was part of it, for a rhythm of its own would have
/// stayed.
ToneAnalysis with_rhythms_made_one(const Window& light, ToneAnalysis found);

}  // namespace lampbeat::signal::states
