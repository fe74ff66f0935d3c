#pragma once

#include "lampbeat/shutters.hpp"

namespace lampbeat::reasoning::shutters {

/// How many quarter stops an exposure is from 180°: an eighth of a stop more or less is no
/// difference on the set (common practice, no source).
int quarter_stops(double stops_from_180deg);

/// Clean, but hardly, and not for whole cycles: within a quarter of where it would not be clean.
/// Anything the judgement does not know (the camera's own clock, a dirty lens of a sensor) may tip
/// it over, where whole cycles hold whatever the light does.
bool is_marginal(const Setting& setting);
inline constexpr double marginal_part = 0.75;  // of `clean_below`

/// The quarter stops by which clean settings are ordered: a marginal one counts as half a stop
/// farther, so that it does not stand before one of whole cycles beside it.
int ranked_quarter_stops(const Setting& setting);
inline constexpr int marginal_costs = 2;

/// Visibility as far as it decides between settings: below a twelfth of where clean ends none is
/// better than another.
double told_apart(double visibility);

/// Whether a setting stands before another of its frame rate: see `plan_shutters`.
/// `by_whole_cycles`: where a light's waveform is not known, the least drift of its clock lets the
/// shortest flashes show at full depth, and the worst case no longer tells whole cycles, which are
/// clean for most lights, from exposures that are clean for none.
bool stands_before(const Setting& a, const Setting& b, bool by_whole_cycles);

}  // namespace lampbeat::reasoning::shutters
