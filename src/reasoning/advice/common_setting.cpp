#include "reasoning/advice/common_setting.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <optional>
#include <tuple>
#include <vector>

#include "reasoning/camera/shutter_words.hpp"
#include "reasoning/shutters/shutters_common.hpp"
#include "reasoning/shutters/shutters_offers.hpp"
#include "reasoning/shutters/shutters_order.hpp"
#include "words/lists.hpp"
#include "words/units.hpp"

namespace lampbeat::reasoning::advice {

namespace {

/// Settings of one exposure, one for each frame rate at which it is clean.
using Group = std::vector<const Setting*>;

/// The settings that are clean, longest exposure last.
Group clean_by_exposure(const ShutterPlan& plan) {
  Group clean;
  for (const Setting& s : plan.settings) {
    if (is_clean(s.worst)) clean.push_back(&s);
  }
  std::stable_sort(clean.begin(), clean.end(), [](const Setting* a, const Setting* b) {
    return a->exposure_s < b->exposure_s;
  });
  return clean;
}

/// Those of them that are the same exposure as this one, in the order of the plan.
Group alike(const Group& clean, const Setting& one) {
  constexpr double well_within = 2.0;  // whatever the ratio rounds to
  const auto from = std::lower_bound(
      clean.begin(), clean.end(), one.exposure_s * (1.0 - well_within * shutters::same_exposure),
      [](const Setting* s, double least_s) { return s->exposure_s < least_s; });
  Group group;
  for (auto s = from; s != clean.end(); ++s) {
    const double apart = (*s)->exposure_s / one.exposure_s - 1.0;
    if (apart > shutters::same_exposure) break;
    if (std::abs(apart) <= shutters::same_exposure) group.push_back(*s);
  }
  std::sort(group.begin(), group.end());  // they lie one after another in the plan
  return group;
}

/// How much a group asks of who films, as the plan ranks its settings: fewer frame rates served,
/// quarter stops away from 180° over all, visibility in tenths (less is no difference), stops.
using Cost = std::tuple<std::size_t, int, int, double>;

Cost cost_of(const Group& group, std::size_t rates) {
  int quarters = 0;
  double visibility = 0.0;
  double stops = 0.0;
  for (const Setting* s : group) {
    quarters += shutters::ranked_quarter_stops(*s);
    visibility = std::max(visibility, s->worst.visibility);
    stops += std::abs(s->stops_from_180deg);
  }
  constexpr double digits = 1e9;  // stops that differ by rounding only do not
  return {rates - group.size(), quarters, static_cast<int>(10.0 * visibility),
          std::round(digits * stops) / digits};
}

/// The exposure that is clean at as many of the frame rates as any, best there. Where each is clean
/// at one rate only, the one that stands first at its own.
Group widest_group(const ShutterPlan& plan) {
  const Group clean = clean_by_exposure(plan);
  Group widest;
  Cost least{};
  const Setting* before = nullptr;
  for (const Setting& candidate : plan.settings) {
    const bool first = !before || !(before->fps == candidate.fps);
    before = &candidate;
    if (!is_clean(candidate.worst)) continue;
    Group group = alike(clean, candidate);
    if (group.size() == 1 && !first) continue;
    const Cost cost = cost_of(group, plan.outlooks.size());
    if (widest.empty() || cost < least) {
      widest = std::move(group);
      least = cost;
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
