#include "files/json.hpp"
#include "lampbeat/json.hpp"
#include "report/json/shared_parts.hpp"

namespace lampbeat {

using files::json::Json;
using files::json::number;

std::string to_json(const Prediction& p, const std::vector<std::string>& advice,
                    const WaysOut& ways) {
  Json document = files::json::document("lampbeat.predict/1");
  document["lights"] = Json::array();
  for (const LightShare& entry : p.lights)
    document["lights"].push_back(report::json::light_share(entry));
  document["mains_hz"] = number(p.mains_hz);
  document["mains_tolerance_hz"] = number(p.mains_tolerance_hz);
  document["clock_tolerance_percent"] = number(p.clock_tolerance_percent);
  document["camera_noise_percent"] = number(p.options.viewing.noise_percent);
  document["fps"] = number(p.shot.fps.per_s());
  document["exposure_s"] = number(p.shot.exposure_s);
  document["shutter_deg"] = number(shutter_angle_deg(p.shot.exposure_s, p.shot.fps));
  document["readout_s"] = number(p.shot.readout_s);
  document["readout_assumed"] = p.shot.readout_assumed;
  document["rows"] = p.shot.rows;
  document["band_percent"] = number(p.nominal.band_percent);
  document["band_stops"] = number(p.nominal.band_stops);
  document["bands_per_frame"] = number(p.nominal.bands_per_frame);
  document["roll_hz"] = number(p.nominal.roll_hz);
  document["roll_heights_per_s"] = number(p.nominal.roll_heights_per_s);
  document["pulse_percent"] = number(p.nominal.pulse_percent);
  document["pulse_hz"] = number(p.nominal.pulse_hz);
  document["visibility"] = number(p.nominal.visibility);
  document["verdict"] = verdict_word(p.nominal.verdict);
  document["worst"] = {
      {"mains_hz", p.mains_hz ? number(p.worst.mains_hz) : Json(nullptr)},
      {"clock_percent", p.clock_tolerance_percent ? number(p.worst.clock_percent) : Json(nullptr)},
      {"state", p.worst_state.empty() ? Json(nullptr) : Json(p.worst_state)},
      {"band_percent", number(p.worst.band_percent)},
      {"pulse_percent", number(p.worst.pulse_percent)},
      {"visibility", number(p.worst.visibility)},
      {"verdict", verdict_word(p.worst.verdict)}};
  document["viewing"] = {{"distance_heights", number(p.options.viewing.distance_heights)},
                         {"screen_cd_m2", number(p.options.viewing.screen_cd_m2)},
                         {"recording_bits", p.options.viewing.recording_bits},
                         {"noise_percent", number(p.options.viewing.noise_percent)}};
  document["steady_light_percent"] = report::json::share(ways.steady_share);
  document["slower"] = report::json::slower_rate(ways.slower);
  document["advice"] = advice;
  document["warnings"] = files::json::list_of(p.findings);
  return files::json::one_line(document);
}

}  // namespace lampbeat
