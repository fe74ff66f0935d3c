#pragma once

#include <string>
#include <vector>

#include "lampbeat/companions.hpp"
#include "lampbeat/comparison.hpp"
#include "lampbeat/footage.hpp"
#include "lampbeat/measurement.hpp"
#include "lampbeat/prediction.hpp"
#include "lampbeat/rating.hpp"
#include "lampbeat/room.hpp"
#include "lampbeat/shutters.hpp"
#include "lampbeat/wall_card.hpp"

// Pages to read, print or keep: one self-contained HTML file each. No network, no script; light and
// dark as the reader's system is set; A4 and Letter. Every figure carries its full value in a
// <data> element whose `title` is the JSON key, so a page can be checked against the JSON.

namespace lampbeat {

std::string measurement_html(const Measurement& measurement, const PageCompanions& companions = {});
std::string prediction_html(const Prediction& prediction, const PageCompanions& companions = {});

/// What a clip shows: a frame with its bands, rows and fit, the course, light and camera.
std::string footage_html(const FootageResult& footage);

/// The wall card: frame rates down, shutters across, one landscape sheet.
std::string wall_card_html(const ShutterPlan& plan, const WallCard& card);

std::string shelf_html(const ShelfRating& rating);

/// A room: how many places are clean, its map, a card for each place, its fixtures.
std::string room_html(const RoomResult& room);
/// Each fixture's course over time, and whether it is as it was.
std::string comparison_html(const std::vector<Comparison>& comparisons);

}  // namespace lampbeat
