#pragma once

#include <complex>
#include <string>

#include "lampbeat/measurement.hpp"
#include "lampbeat/tones.hpp"
#include "signal/states/epoch_figures.hpp"

namespace lampbeat::signal::measurement {

/// By what a line is multiplied where a first-order coupling of this corner is undone: as in
/// `sensor::undone`.
std::complex<double> without_coupling(double hz, double corner_hz);

/// The tones of a light that lost its mean, as they are if it goes so far below it: what a coupling
/// took of each undone.
ToneAnalysis as_deep(ToneAnalysis tones, const states::SideReach& below);

/// The light of these figures, whose components are related to a mean, as one of the readings of a
/// light whose mean is not known.
LightState as_reading(const Measurement& figures, std::string what);

/// A light as deep as `reach.below`, if the recorder turned it upside down: as deep as
/// `reach.above`. It counts in the worst case only.
LightState upside_down(LightState light, const states::Reach& reach);

/// Whether the recorder may have turned these figures' light upside down, to another light. A lamp
/// that follows the mains follows its power, and that is low only around the zero crossings: one
/// that keeps to the mains and is bright for longer than it is dark is taken to be the right way up
/// (common practice, no source).
bool may_be_upside_down(const Measurement& figures, const states::Reach& reach);

}  // namespace lampbeat::signal::measurement
