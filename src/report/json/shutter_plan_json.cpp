#include "files/json.hpp"
#include "lampbeat/json.hpp"
#include "report/json/shared_parts.hpp"

namespace lampbeat {

namespace {

using files::json::Json;
using files::json::number;

Json setting(const Setting& s) {
  return {{"fps", number(s.fps.per_s())},
          {"exposure_s", number(s.exposure_s)},
          {"label", s.label},
          {"shutter_deg", number(s.shutter_deg)},
          {"readout_s", number(s.readout_s)},
          {"band_percent", number(s.nominal.band_percent)},
          {"pulse_percent", number(s.nominal.pulse_percent)},
          {"worst_band_percent", number(s.worst.band_percent)},
          {"worst_pulse_percent", number(s.worst.pulse_percent)},
          // The verdict counts at the least favourable mains and clocks: that is what a plan has to
          // survive.
          {"visibility", number(s.worst.visibility)},
          {"verdict", verdict_word(s.worst.verdict)},
          {"nominal_visibility", number(s.nominal.visibility)},
          {"nominal_verdict", verdict_word(s.nominal.verdict)},
          {"stops_from_180deg", number(s.stops_from_180deg)},
          {"blur_from_180deg", number(s.blur_from_180deg)},
          {"whole_cycles", s.whole_cycles},
          {"mains_margin_hz", number(s.mains_margin_hz)},
          {"clock_margin_percent", number(s.clock_margin_percent)},
          {"clean_from_s", number(s.clean_from_s)},
          {"clean_to_s", number(s.clean_to_s)}};
}

Json setting(const std::optional<Setting>& s) { return s ? setting(*s) : Json(nullptr); }

Json exact(const std::optional<ExactShutter>& e) {
  if (!e) return nullptr;
  Json best = setting(e->best);
  best["nearest_stop"] = setting(e->dial);
  return best;
}

Json outlook(const FrameRateOutlook& o) {
  return {{"fps", number(o.fps.per_s())},
          {"readout_s", number(o.readout_s)},
          {"any_clean", o.any_clean},
          {"worst_band_percent_at_180deg", number(o.at_180deg.band_percent)},
          {"verdict_at_180deg", verdict_word(o.at_180deg.verdict)},
          {"needed_percent_flicker", number(o.needed_percent_flicker)},
          {"steady_light_percent_at_180deg", report::json::share(o.steady_share_at_180deg)},
          {"exact", exact(o.exact)},
          {"only_while_clock_holds", setting(o.while_clock_holds)},
          {"slower", report::json::slower_rate(o.slower)}};
}

}  // namespace

std::string to_json(const ShutterPlan& plan, const std::vector<std::string>& advice) {
  Json document = files::json::document("lampbeat.shutters/1");
  document["lights"] = Json::array();
  for (const LightShare& entry : plan.lights)
    document["lights"].push_back(report::json::light_share(entry));
  document["mains_hz"] = number(plan.mains_hz);
  document["mains_tolerance_hz"] = number(plan.mains_tolerance_hz);
  document["clock_tolerance_percent"] = number(plan.clock_tolerance_percent);
  document["camera_noise_percent"] = number(plan.options.viewing.noise_percent);
  document["readout_s"] = number(common_readout_s(plan));
  document["readout_assumed"] = !plan.readout_s;
  document["rows"] = plan.rows;
  document["settings"] = Json::array();
  for (const Setting& s : plan.settings) document["settings"].push_back(setting(s));
  document["serves_all"] = Json::array();
  for (const CommonExposure& c : plan.serves_all) {
    document["serves_all"].push_back(number(c.exposure_s));
  }
  document["outlooks"] = Json::array();
  for (const FrameRateOutlook& o : plan.outlooks) document["outlooks"].push_back(outlook(o));
  document["advice"] = advice;
  document["warnings"] = files::json::list_of(plan.findings);
  return files::json::one_line(document);
}

}  // namespace lampbeat
