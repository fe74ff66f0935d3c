#pragma once

#include <cstddef>
#include <optional>

#include "lampbeat/cycle.hpp"
#include "lampbeat/tones.hpp"
#include "signal/left_over/left_over.hpp"

namespace lampbeat::signal::states {

/// The tones of a capture's windows with what only the whole capture shows: a slow rhythm joins
/// them; edges too few for any spectrum take their place, or, where these do not repeat, leave
/// none, for what a spectrum makes of them is not the light's. The windows number their
/// fundamentals below `fundamentals`; those of the whole capture, found apart from them, follow.
ToneAnalysis with_whole_capture(ToneAnalysis tones, const left_over::LeftOver& left,
                                std::size_t fundamentals);

/// The lowest and highest reading, light units.
struct Swing {
  double lowest = 0.0;
  double highest = 0.0;
};

/// Extremes and areas of a light that beats fast (`fast`, as its windows show it) and slowly at
/// once. A dimmer makes the slow course scale the fast cycle, a second lamp adds to it: the one
/// whose extremes come nearer the readings' own is taken.
CycleFigures combined(const CycleFigures& slow, const CycleFigures& fast, const Swing& readings);

/// The figures only the whole capture shows; empty where its windows say it all.
std::optional<CycleFigures> whole_cycle(const left_over::LeftOver& left,
                                        const std::optional<CycleFigures>& fast,
                                        const Swing& readings);

}  // namespace lampbeat::signal::states
