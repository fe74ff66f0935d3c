#pragma once

#include <optional>

#include "files/json.hpp"
#include "lampbeat/prediction.hpp"
#include "lampbeat/standards.hpp"

// Objects that stand in more than one document and must read the same in each.

namespace lampbeat::report::json {

files::json::Json ieee1789(const std::optional<Ieee1789>& verdict);
files::json::Json standard(const StandardVerdict& verdict);
files::json::Json light_share(const LightShare& entry);

}  // namespace lampbeat::report::json
