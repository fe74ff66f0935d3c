#pragma once

#include "files/json.hpp"
#include "lampbeat/comparison.hpp"

namespace lampbeat::records {

/// What a line of `footage --json` says of a clip. Throws InputError naming the key that is wrong.
Occasion footage_occasion(const files::json::Json& document);

}  // namespace lampbeat::records
