#pragma once

#include <optional>
#include <string>

#include "cli/session.hpp"
#include "lampbeat/depth.hpp"
#include "lampbeat/footage.hpp"

namespace lampbeat::cli {

/// What a --limit is held against in a clip, as `depth_of` gives it for the other results.
Depth depth_of(const FootageResult& footage);

/// Sets the exit code to 1 and says why on standard error, unless `within`. `what` names what was
/// judged: "ceiling.wav". Without a limit everything is well.
void hold_to_limit(const std::optional<double>& limit_percent, const Depth& depth,
                   const std::string& what, Session& session);

}  // namespace lampbeat::cli
