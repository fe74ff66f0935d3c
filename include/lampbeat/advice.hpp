#pragma once

#include <span>
#include <string>
#include <vector>

#include "lampbeat/prediction.hpp"
#include "lampbeat/shutters.hpp"

namespace lampbeat {

/// Sentences for the person behind the camera, with this case's numbers: why it bands or not, the
/// nearest safe setting and its cost, which light of a mixture is to blame, whether the folk rule
/// behind the question holds here, what changes on the other mains frequency, cautions. Most useful
/// first.
///
/// Settings named for one shot are those the camera offers (`available`, as on its dial or in
/// ranges, see PlanRequest; empty: the customary ones, spoken of as the shutter was `asked` for).
/// Throws UsageError for one that cannot be read.
std::vector<std::string> advise(const Prediction& prediction,
                                std::span<const std::string> available = {},
                                std::optional<ShutterNotation> asked = {});
std::vector<std::string> advise(const ShutterPlan& plan);

/// What would make a shot clean, beside another shutter.
struct WaysOut {
  /// The part of the subject's light that would have to be steady (daylight, a steady lamp), the
  /// rest coming from these lights, for this very setting to be clean: 0 when it is as things are,
  /// below 1; empty when next to all would have to be. Never less than what is needed, and at most
  /// 0.01 more.
  std::optional<double> steady_share;
  /// Where nothing on offer is clean at the shot's frame rate: the fastest customary rate below it
  /// at which something is.
  std::optional<SlowerRate> slower;
};

/// `available` and `asked`: as `advise` takes them.
WaysOut ways_out(const Prediction& prediction, std::span<const std::string> available = {},
                 std::optional<ShutterNotation> asked = {});

}  // namespace lampbeat
