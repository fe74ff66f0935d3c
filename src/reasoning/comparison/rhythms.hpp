#pragma once

#include <optional>

#include "lampbeat/comparison.hpp"

namespace lampbeat::reasoning::comparison {

/// What is known only from the rhythms of a light: one locked to the mains moved with the mains,
/// which is no change, nor is it when two rhythms of one depth take turns at being the strongest.
void settle_rhythm(FigureChange& change, const Occasion& before, const Occasion& after);

/// The strongest rhythm of `after` that is of no series seen before, though it would have been
/// found. Empty where there is none.
std::optional<OccasionRhythm> new_rhythm(const Occasion& before, const Occasion& after);

/// The deepest rhythm of `after` that is of no series seen before, where nobody can say whether it
/// would have been found then: its noise was not written down, or it was not looked so far.
std::optional<OccasionRhythm> perhaps_new(const Occasion& before, const Occasion& after);

/// A rhythm that counts beside the strongest, is there both times, and is deeper now beyond both
/// uncertainties and by a tenth.
struct DeeperRhythm {
  OccasionRhythm before;
  OccasionRhythm after;
};
/// The strongest such; empty where there is none, or where clocks that stray share a rhythm's depth
/// out among its neighbours anew each time.
std::optional<DeeperRhythm> deeper_rhythm(const Occasion& before, const Occasion& after);

/// How far the light's own clock moved, % of its frequency, where that is more than shutters chosen
/// for it allow; empty otherwise.
std::optional<double> moved_percent(const FigureChange& rhythm, const Occasion& before,
                                    const Occasion& after);

/// The deepest rhythm of `seen` that lies above all that `other` could see.
std::optional<OccasionRhythm> out_of_sight(const Occasion& seen, const Occasion& other);

}  // namespace lampbeat::reasoning::comparison
