#pragma once

#include <optional>
#include <vector>

#include "reasoning/judge/judge.hpp"
#include "reasoning/shutters/shutters_dial.hpp"

namespace lampbeat::reasoning::shutters {

/// The point of a dial's ranges that is better than the best one known; nothing where none is by
/// enough to matter (see `plan_shutters`). `best` is a point of them.
///
/// Why the best is not missed: what a row collects changes with its exposure T by at most what the
/// light swings over (d(mean of L over T) / d ln T = L at the end − that mean), so that a contrast
/// falls by no more than the light's whole swing for each unit of ln T, and its visibility by no
/// more than that times the weight of its most visible strong line. Between two points that were
/// judged nothing can therefore be lower than half of (the sum of both − that steepness × ln of
/// their ratio); where this is not low enough, nothing in between is judged, and where it is, the
/// middle is, and so on. What this does not follow, the most visible line giving way to another at
/// an exposure of its whole cycles, is what `telling_offers` holds already.
/// Last, neighbours of the best are tried for the lowest of its valley.
/// `lights`: as meant, see `holds_whole_cycles`.
std::optional<Offer> better_point(const Dial& dial, const judge::Judge& judge,
                                  std::span<const LightShare> lights, const Setting& best);

}  // namespace lampbeat::reasoning::shutters
