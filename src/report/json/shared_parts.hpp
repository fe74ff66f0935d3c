#pragma once

#include <optional>

#include "files/json.hpp"
#include "lampbeat/prediction.hpp"
#include "lampbeat/shutters.hpp"
#include "lampbeat/standards.hpp"

// Objects that stand in more than one document and must read the same in each.

namespace lampbeat::report::json {

files::json::Json ieee1789(const std::optional<Ieee1789>& verdict);
files::json::Json standard(const StandardVerdict& verdict);
files::json::Json light_share(const LightShare& entry);
files::json::Json slower_rate(const std::optional<SlowerRate>& slower);
/// In per cent.
files::json::Json share(const std::optional<double>& share);

}  // namespace lampbeat::report::json
