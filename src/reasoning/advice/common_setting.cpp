#include "reasoning/advice/common_setting.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <optional>
#include <vector>

#include "reasoning/camera/shutter_words.hpp"
#include "reasoning/shutters/shutters_common.hpp"
#include "reasoning/shutters/shutters_offers.hpp"
#include "words/lists.hpp"
#include "words/units.hpp"

namespace lampbeat::reasoning::advice {

namespace {

/// Settings of one exposure, one for each frame rate at which it is clean.
using Group = std::vector<const Setting*>;

/// The exposure that is clean at as many of the frame rates as any, nearest to 180° there.
Group widest_group(const ShutterPlan& plan) {
  Group widest;
  double widest_stops = 0.0;
  for (const Setting& candidate : plan.settings) {
    if (!is_clean(candidate.worst)) continue;
    Group group;
    double stops = 0.0;
    for (const Setting& other : plan.settings) {
      if (!is_clean(other.worst) ||
          std::abs(other.exposure_s / candidate.exposure_s - 1.0) > shutters::same_exposure)
        continue;
      group.push_back(&other);
      stops += std::abs(other.stops_from_180deg);
    }
    const bool wider = group.size() > widest.size();
    if (wider || (group.size() == widest.size() && stops < widest_stops - 1e-9)) {
      widest = std::move(group);
      widest_stops = stops;
    }
  }
  return widest;
}

std::string margin_words(const Group& group) {
  std::optional<double> margin_hz;
  for (const Setting* s : group) {
    if (s->mains_margin_hz)
      margin_hz = std::min(margin_hz.value_or(*s->mains_margin_hz), *s->mains_margin_hz);
  }
  if (!margin_hz) return "";
  return fmt::format(", and stays so while the mains is off by up to {}",
                     words::hertz(*margin_hz, 2));
}

}  // namespace

std::string common_setting(const ShutterPlan& plan) {
  const Group group = widest_group(plan);
  if (group.empty()) return "";
  if (group.size() == 1) {
    const Setting& s = *group.front();
    return fmt::format("Set {}: clean at {} fps{}.", camera::shutter_words(s.label, s.exposure_s),
                       frame_rate_label(s.fps), margin_words(group));
  }
  CommonExposure common{group.front()->exposure_s, {}};
  std::vector<std::string> rates;
  for (const FrameRateOutlook& outlook : plan.outlooks) {
    const auto there = std::find_if(group.begin(), group.end(),
                                    [&](const Setting* s) { return s->fps == outlook.fps; });
    common.labels.push_back(there == group.end() ? "" : (*there)->label);
    if (there != group.end()) rates.push_back(frame_rate_label(outlook.fps));
  }
  const std::string margin = margin_words(group);
  return fmt::format("{} serves {} fps alike{}.", shutters::common_words(common, plan),
                     words::listed(rates), margin.empty() ? "" : ": clean" + margin);
}

}  // namespace lampbeat::reasoning::advice
