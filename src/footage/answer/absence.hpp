#pragma once

#include <optional>
#include <string>

#include "footage/answer/evidence.hpp"

namespace lampbeat::footage::answer {

/// Nothing was found, and anything deeper would have been; `condition` says of what kind.
Evidence nothing_seen(double percent, const std::string& condition);

/// Would a light of the stated frequency have rolled through? Then its absence is shown. Empty
/// where it might have stood still, or none was stated.
std::optional<Evidence> proven_absence(const stretches::Watched& watched,
                                       const FootageSettings& settings, double smallest_seen);

}  // namespace lampbeat::footage::answer
