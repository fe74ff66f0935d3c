#pragma once

#include <string>

#include "lampbeat/room.hpp"

// What the text and the page of a room say alike.

namespace lampbeat::report {

/// "412 lx"; "under 0.1 lx".
std::string lux_words(double lux);

/// "ceiling panel left 44 %, worktop strip 30 % and 3 others 26 %".
std::string share_words(const PlaceResult& place, const Room& room);

/// What to do and what it brings: "Switch off 'worktop strip': clean then, with 380 lx left."
std::string change_words(const RoomChange& change, const Room& room);

/// "1/60, 1/40 and 1/30"; where none is clean, the least bad one.
std::string best_words(const PlaceResult& place);

/// "visible"; "clean as far as was measured" where noise may hide what would show; "not known" in
/// the dark.
std::string place_verdict(const PlaceResult& place);

/// How many places are clean, in one sentence for the top of a page.
std::string room_verdict(const RoomResult& result);

/// "Clean on 64 % of the floor, 1 m above it."; empty without a map.
std::string map_words(const RoomResult& result);

/// Adds what is not among them word for word.
void add_once(Findings& all, const Finding& finding);

/// Of the whole room and of all its places, each once.
Findings all_findings(const RoomResult& result);

}  // namespace lampbeat::report
