#include "lampbeat/light_profile.hpp"

#include "files/json.hpp"
#include "files/whole_file.hpp"
#include "records/profile_reader.hpp"

namespace lampbeat {

namespace {

using files::json::Json;

/// What a light and each of its other states have in common.
void write_state(Json& object, const auto& state) {
  object["mains_hz"] = files::json::number(state.mains_hz);
  object["noise_percent"] = files::json::number(state.noise_percent);
  object["components"] = Json::array();
  for (const LightComponent& c : state.components) {
    object["components"].push_back(
        {{"hz", c.hz},
         {"percent", 100.0 * c.amplitude},
         {"phase_deg", c.phase_rad * records::degrees},
         {"mains_order", c.mains_order ? Json(*c.mains_order) : Json(nullptr)}});
  }
  object["unexplained"] = Json::array();
  for (const UnexplainedLight& band : state.unexplained) {
    object["unexplained"].push_back(
        {{"from_hz", band.from_hz}, {"to_hz", band.to_hz}, {"percent", 100.0 * band.rms}});
  }
}

Json figures_of(const LightFigures& f) {
  Json figures{{"percent_flicker", files::json::number(f.percent_flicker)},
               {"flicker_index", files::json::number(f.flicker_index)},
               {"dominant_hz", files::json::number(f.dominant_hz)},
               {"svm", files::json::number(f.svm)},
               {"pst_lm", files::json::number(f.pst_lm)},
               {"below_200_percent", files::json::number(f.below_200_percent)},
               {"steady_below_percent", files::json::number(f.steady_below_percent)},
               {"worst_rhythm", nullptr}};
  if (f.worst_rhythm) {
    figures["worst_rhythm"] = {{"hz", f.worst_rhythm->hz},
                               {"percent", f.worst_rhythm->percent},
                               {"percent_uncertainty", f.worst_rhythm->percent_sd}};
  }
  figures["percent_flicker_uncertainty"] = files::json::number(f.percent_flicker_sd);
  figures["flicker_index_uncertainty"] = files::json::number(f.flicker_index_sd);
  figures["dominant_hz_uncertainty"] = files::json::number(f.dominant_hz_sd);
  figures["rate_hz"] = files::json::number(f.rate_hz);
  figures["seen_above_percent"] = files::json::number(f.seen_above_percent);
  figures["set_up"] = nullptr;
  if (f.set_up) {
    figures["set_up"] = {{"dark_level", files::json::number(f.set_up->dark_level)},
                         {"mean_level", files::json::number(f.set_up->mean_level)},
                         {"coupling_corner_hz", files::json::number(f.set_up->coupling_corner_hz)},
                         {"sensor_corner_hz", files::json::number(f.set_up->sensor_corner_hz)}};
  }
  figures["measurement_version"] = f.measurement_version ? Json(*f.measurement_version) : Json();
  return figures;
}

}  // namespace

std::string light_profile(const Light& light) {
  Json document = files::json::document("lampbeat.light/1");
  document["name"] = light.name;
  document["source"] = light.source;
  document["made"] = light.made;
  document["depth"] = depth_words(light.depth);
  if (light.any_waveform) document["any_waveform"] = true;
  write_state(document, light);
  document["clock_spread_percent"] = files::json::number(light.clock_spread_percent);
  document["other_states"] = Json::array();
  for (const LightState& state : light.other_states) {
    Json entry{{"what", state.what}};
    if (state.worst_case_only) entry["worst_case_only"] = true;
    write_state(entry, state);
    document["other_states"].push_back(std::move(entry));
  }
  document["figures"] = light.figures ? figures_of(*light.figures) : Json(nullptr);
  document["warnings"] = files::json::list_of(light.findings);
  return files::json::for_a_file(document);
}

Light read_light_profile(const std::string& path) { return records::ProfileReader(path).light(); }

bool is_light_profile(const std::string& path) {
  // The name decides nothing: the first character of the content does. No sound file and no table
  // starts with a brace.
  constexpr std::size_t enough = 4096;
  const std::string front = files::front_of_file(path, enough);
  const std::size_t first = front.find_first_not_of(" \n\r\t");
  return first != std::string::npos && front[first] == '{';
}

}  // namespace lampbeat
