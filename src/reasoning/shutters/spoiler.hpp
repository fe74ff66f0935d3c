#pragma once

#include <optional>
#include <string>
#include <vector>

#include "lampbeat/shutters.hpp"

namespace lampbeat::reasoning::shutters {

/// The one light of several without which people could film: its name, and those of the shutters
/// they set without thinking that would then be clean at every frame rate long enough for them.
struct Spoiler {
  std::string name;
  std::vector<std::string> serving;
};

/// Of a plan without any clean shutter, found by leaving out each light once. Empty where none or
/// several would do, for one light, and for more than six.
std::optional<Spoiler> spoiler_of(const ShutterPlan& plan);

}  // namespace lampbeat::reasoning::shutters
