#pragma once

#include <optional>
#include <span>
#include <string>

#include "cli/session.hpp"
#include "lampbeat/footage.hpp"
#include "lampbeat/measurement.hpp"
#include "lampbeat/prediction.hpp"
#include "lampbeat/rating.hpp"

namespace lampbeat::cli {

/// What a --limit is held against: the depth found or, where nothing was found, the most that could
/// have gone unnoticed. Empty when neither is known, with the reason: that never passes.
struct Depth {
  std::optional<double> percent;
  std::string why_unknown;  ///< completes "... cannot be held against --limit: "
};

Depth depth_of(const Measurement& measurement);
/// Of a saved light, as it was rated.
Depth depth_of(const Light& light, const FixtureRating& rating);
Depth depth_of(const FootageResult& footage);
/// Bands or pulsing at the worst case, and what the measuring of steady lights could have missed.
Depth depth_of(const Recorded& worst, std::span<const LightShare> lights);

/// Whether the depth is known and no deeper than the limit.
bool within(const Depth& depth, double limit_percent);

/// Sets the exit code to 1 and says why on standard error, unless `within`. `what` names what was
/// judged: "ceiling.wav". Without a limit everything is well.
void hold_to_limit(const std::optional<double>& limit_percent, const Depth& depth,
                   const std::string& what, Session& session);

}  // namespace lampbeat::cli
