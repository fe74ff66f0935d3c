#include "report/json/shared_parts.hpp"

#include <cmath>

namespace lampbeat::report::json {

using files::json::Json;
using files::json::number;

Json ieee1789(const std::optional<Ieee1789>& verdict) {
  if (!verdict) {
    return {{"level", nullptr},
            {"low_risk_limit_percent", nullptr},
            {"no_effect_limit_percent", nullptr},
            {"hz", nullptr},
            {"percent", nullptr},
            {"percent_uncertainty", nullptr}};
  }
  return {{"level", level_words(verdict->level)},
          {"low_risk_limit_percent", number(verdict->low_risk_limit_percent)},
          {"no_effect_limit_percent", number(verdict->no_effect_limit_percent)},
          {"hz", number(verdict->hz)},
          {"percent", number(verdict->percent)},
          {"percent_uncertainty", number(verdict->percent_sd)}};
}

Json standard(const StandardVerdict& v) {
  return {{"standard", v.standard},
          {"quantity", v.quantity},
          {"value", number(v.value)},
          {"unit", v.unit},
          {"limit", number(v.limit)},
          {"met", v.met ? Json(*v.met) : Json(nullptr)},
          {"note", v.note}};
}

Json light_share(const LightShare& entry) {
  return {{"name", entry.light.name},
          {"share", number(entry.share)},
          {"source", entry.light.source},
          {"depth", depth_words(entry.light.depth)},
          {"mains_hz", number(entry.light.mains_hz)}};
}

Json slower_rate(const std::optional<SlowerRate>& slower) {
  if (!slower) return nullptr;
  return {{"fps", number(slower->fps.per_s())},
          {"exposure_s", number(slower->exposure_s)},
          {"label", slower->label}};
}

Json share(const std::optional<double>& share) {
  // In thousandths, so that no rounding error of the binary share is told.
  return share ? number(std::round(1000.0 * *share) / 10.0) : Json(nullptr);
}

}  // namespace lampbeat::report::json
