#pragma once

#include <optional>
#include <span>
#include <string>
#include <vector>

#include "lampbeat/shutters.hpp"

namespace lampbeat::reasoning::shutters {

/// Exposures that differ by less, relatively, are one dial position under two names: 1/59.998 and
/// 1/60 are, 1/59.94 and 1/60 are not.
inline constexpr double same_exposure = 2e-5;

/// One position of a shutter dial.
struct Offer {
  double exposure_s = 0.0;
  std::string label;
  bool fine = false;  ///< a point of a range, not a stop
};

/// What a camera with an ordinary menu offers at this frame rate, and every exposure of whole
/// cycles of these lights' rhythms; longest first, equal exposures once, under the name the trade
/// would use. Nothing darker than four stops below 180°.
std::vector<Offer> customary_offers(std::span<const LightShare> lights, FrameRate fps);

/// The single shutters this camera offers, as written; exposures longer than the frame left out,
/// equal ones once, and ranges too. Throws UsageError for an entry that cannot be read.
std::vector<Offer> listed_offers(std::span<const std::string> available, FrameRate fps);

/// The first of equal exposures stays; longest first.
std::vector<Offer> each_offer_once(std::vector<Offer> offers);

/// The stops of a customary dial that fit the frame: in degrees, or else in fractions.
std::vector<Offer> customary_stops(FrameRate fps, ShutterNotation notation);

/// Exposures of whole cycles of these lights' rhythms, or of several of them at once.
std::vector<double> whole_cycle_exposures(std::span<const LightShare> lights, FrameRate fps);

/// The customary stop nearest to an exposure, on a dial in fractions (which times are held against
/// too) or in degrees; nothing where none fits the frame.
std::optional<Offer> nearest_stop(double exposure_s, FrameRate fps, ShutterNotation notation);

/// An exposure that is off whole cycles by this part of its length is called one of whole cycles:
/// it leaves that part of the ripple, less than matters to anybody
/// (`mixture::weakest_that_matters`).
inline constexpr double off_whole_cycles = 0.0015;

/// Whether the exposure holds whole cycles of every rhythm strong enough to matter (0.2 % of the
/// light), to within `off_whole_cycles`; false when none is.
bool holds_whole_cycles(std::span<const LightShare> lights, double exposure_s);

}  // namespace lampbeat::reasoning::shutters
