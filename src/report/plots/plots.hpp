#pragma once

#include <string>

#include "lampbeat/measurement.hpp"
#include "lampbeat/prediction.hpp"
#include "lampbeat/rating.hpp"
#include "lampbeat/shutters.hpp"

// Results in, one SVG drawing out. An empty string means there is nothing to draw.

namespace lampbeat::report::plots {

/// Three averaged cycles of the light against time, from darkness up.
std::string waveform_svg(const Measurement& measurement);

/// Amplitude spectrum, both axes logarithmic, components named and the noise floor marked.
std::string spectrum_svg(const Measurement& measurement);

/// Percent flicker of each window of a capture; empty for fewer than three windows.
std::string over_time_svg(const Measurement& measurement);

/// Frame rates down, exposure across (logarithmic): where the picture is clean. `plan` holds the
/// camera's own steps, drawn as marks; `field`, when given, a dense sweep drawn behind them.
std::string shutter_map_svg(const ShutterPlan& plan, const ShutterPlan* field);

/// A little picture frame, told without colour: filled when clean, half filled when borderline,
/// hollow with two bands when visible and with four when strong.
std::string verdict_tile(Verdict verdict);

/// The stops of a shutter dial under a light, long exposures first, told without colour: bars where
/// they are safe (all of them for any shutter, single ones where shutters have to match the light),
/// thin lines where they are not; bands across the lines where none is.
std::string filming_tile(FilmingClass filming);

}  // namespace lampbeat::report::plots
