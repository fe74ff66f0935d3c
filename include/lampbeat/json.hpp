#pragma once

#include <string>
#include <vector>

#include "lampbeat/advice.hpp"
#include "lampbeat/comparison.hpp"
#include "lampbeat/footage.hpp"
#include "lampbeat/live.hpp"
#include "lampbeat/measurement.hpp"
#include "lampbeat/prediction.hpp"
#include "lampbeat/rating.hpp"
#include "lampbeat/room.hpp"
#include "lampbeat/shutters.hpp"

namespace lampbeat {

/// One line of JSON each, keys as in the README and the schemas; absent figures are null.
std::string to_json(const Measurement& measurement);
std::string to_json(const LiveReading& reading);
/// `advice`: as `advise` gives it.
/// `ways`: as `ways_out` gives them; what is empty in them is null.
std::string to_json(const Prediction& prediction, const std::vector<std::string>& advice,
                    const WaysOut& ways = {});
std::string to_json(const ShutterPlan& plan, const std::vector<std::string>& advice);
std::string to_json(const ShelfRating& rating);
std::string to_json(const FootageResult& footage);
std::string to_json(const RoomResult& room);
std::string to_json(const Comparison& comparison);

}  // namespace lampbeat
