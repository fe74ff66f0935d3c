#pragma once

#include <optional>
#include <span>
#include <string>

namespace lampbeat {

struct FixtureRating;
struct Light;
struct LightShare;
struct Measurement;
struct Recorded;

/// What is held against a limit: the depth found, in percent, or where nothing was found the most
/// that could have gone unnoticed. Empty when neither is known: that passes no limit.
struct Depth {
  std::optional<double> percent;
  std::string why_unknown;  ///< why `percent` is empty: "how deep ... was not measured"
};

/// Percent flicker, or the irregular light where that is more.
Depth depth_of(const Measurement& measurement);
/// Of a saved light, as it was rated.
Depth depth_of(const Light& light, const FixtureRating& rating);
/// Bands or pulsing at the worst case, and what the measuring of steady lights could have missed.
Depth depth_of(const Recorded& worst, std::span<const LightShare> lights);

/// Whether the depth is known and no deeper than the limit.
bool within(const Depth& depth, double limit_percent);

}  // namespace lampbeat
