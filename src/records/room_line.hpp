#pragma once

#include <vector>

#include "files/json.hpp"
#include "lampbeat/comparison.hpp"

namespace lampbeat::records {

/// What a line of `room --json` says of each place, named as the place is. Throws InputError naming
/// the key that is wrong.
std::vector<Occasion> places_of_room(const files::json::Json& document);

}  // namespace lampbeat::records
