#pragma once

#include <cstddef>
#include <string>

#include "lampbeat/comparison.hpp"
#include "lampbeat/footage.hpp"
#include "lampbeat/measurement.hpp"
#include "lampbeat/prediction.hpp"
#include "lampbeat/rating.hpp"
#include "lampbeat/room.hpp"
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

/// A frame of a clip, its PNG bytes given in base64, with marks beside its dark bands.
std::string clip_frame_svg(const FootageResult& footage, const std::string& png_base64);

/// Light of the rows of that frame, top row on top as in the picture, and the bands fitted to it.
std::string row_profile_svg(const FootageResult& footage);

/// How deep the bands were in each stretch of a clip; empty for fewer than two stretches.
std::string clip_course_svg(const FootageResult& footage);

/// Mean light of each frame; empty for a still.
std::string frame_levels_svg(const FootageResult& footage);

/// A drawing, and how many of its marks had to stay without a label for want of room.
struct LabelledDrawing {
  std::string svg;
  std::size_t unlabelled = 0;
};

/// A room from above with its fixtures and places, each named, and where there is a map, the
/// verdict of every cell, each with its pattern.
LabelledDrawing room_map_svg(const RoomResult& room);

/// The same floor with the light on each cell, in steps, their borders numbered; empty without a
/// map and in a room without light.
std::string light_map_svg(const RoomResult& room);

/// Depth against time for everything one fixture was measured at, with how far it may be off;
/// empty for fewer than two occasions, and where none is known. `id` is its own on the page.
std::string course_svg(const Comparison& comparison, const std::string& id);

/// Before and after as two columns, told without colour: the lower one is the better, alike ones
/// are unchanged, one only outlined is not known.
std::string change_tile(ChangeVerdict verdict);

/// A little picture frame, told without colour: filled when clean, half filled when borderline,
/// hollow with two bands when visible and with four when strong.
std::string verdict_tile(Verdict verdict);

/// The same frame where nothing could be judged for want of light: dotted, as on a room's map.
std::string no_light_tile();

/// The stops of a shutter dial under a light, long exposures first, told without colour: bars where
/// they are safe (all of them for any shutter, single ones where shutters have to match the light),
/// thin lines where they are not; bands across the lines where none is.
std::string filming_tile(FilmingClass filming);

}  // namespace lampbeat::report::plots
