#pragma once

#include <vector>

#include "lampbeat/room.hpp"
#include "report/html/render.hpp"

// The cards and tables of a room's page, as filled template sections.

namespace lampbeat::report::html {

/// One card for each place, in the order of the room.
std::vector<View> place_cards(const RoomResult& room);

std::vector<View> fixture_rows(const Room& room);

/// The shot, the mains, and what was taken for granted.
std::vector<View> how_judged(const RoomResult& room);

/// What is so of the room, or of several of its places; what is so of one alone is on its card.
Findings shared_findings(const RoomResult& room);

}  // namespace lampbeat::report::html
