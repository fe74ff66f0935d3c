#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

#include "lampbeat/comparison.hpp"
#include "lampbeat/filming.hpp"
#include "lampbeat/footage.hpp"
#include "lampbeat/live.hpp"
#include "lampbeat/measurement.hpp"
#include "lampbeat/prediction.hpp"
#include "lampbeat/rating.hpp"
#include "lampbeat/room.hpp"
#include "lampbeat/shutters.hpp"
#include "lampbeat/text_style.hpp"

// A result as people read it in a terminal: the verdict first, then why, then the detail.

namespace lampbeat {

/// `filming`: as `rate_for_filming` gives it.
std::string to_text(const Measurement& measurement, const std::optional<FilmingRating>& filming,
                    const TextStyle& style);
/// `advice`: as `advise` gives it.
std::string to_text(const Prediction& prediction, const std::vector<std::string>& advice,
                    const TextStyle& style);
/// Shows as many settings per frame rate as fit a screen, or exactly `per_frame_rate`.
std::string to_text(const ShutterPlan& plan, const std::vector<std::string>& advice,
                    const TextStyle& style,
                    std::optional<std::size_t> per_frame_rate = std::nullopt);
std::string to_text(const ShelfRating& rating, const TextStyle& style);
std::string to_text(const FootageResult& footage, const TextStyle& style);
std::string to_text(const RoomResult& room, const TextStyle& style);
/// What needs a look first, and each fixture with its figures.
std::string to_text(const std::vector<Comparison>& comparisons, const TextStyle& style);
/// One line without its end, no wider than the style says: what is read, a trace of the cycle, how
/// high the level reaches, and what is wrong with it. `drawn`: trace and level as
/// pictures, else the level as a figure.
std::string to_text(const LiveReading& reading, const TextStyle& style, bool drawn);

}  // namespace lampbeat
