#pragma once

#include <optional>

#include "files/json.hpp"
#include "lampbeat/prediction.hpp"
#include "lampbeat/standards.hpp"

// Objects that stand in more than one document and must read the same in each.

namespace lampbeat::json {

Json ieee1789(const std::optional<Ieee1789>& verdict);
Json standard(const StandardVerdict& verdict);
Json light_share(const LightShare& entry);

}  // namespace lampbeat::json
