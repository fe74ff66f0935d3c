#pragma once

#include <optional>
#include <string>

#include "cli/session.hpp"
#include "lampbeat/depth.hpp"

namespace lampbeat::cli {

/// Sets the exit code to 1 and says why on standard error, unless `within`. `what` names what was
/// judged: "ceiling.wav". Without a limit everything is well.
void hold_to_limit(const std::optional<double>& limit_percent, const Depth& depth,
                   const std::string& what, Session& session);

}  // namespace lampbeat::cli
