#include <fmt/format.h>

#include <numbers>

#include "files/json.hpp"
#include "lampbeat/json.hpp"
#include "report/json/shared_parts.hpp"

namespace lampbeat {

namespace {

using files::json::Json;
using files::json::number;

Json component(const MeasuredComponent& c) {
  return {{"hz", number(c.hz)},
          {"percent", number(c.percent)},
          {"phase_deg", number(c.phase_deg)},
          {"mains_order", c.mains_order ? Json(*c.mains_order) : Json(nullptr)},
          {"kind", kind_word(c.kind)},
          {"hz_uncertainty", number(c.hz_sd)},
          {"percent_uncertainty", number(c.percent_sd)},
          {"relative", number(c.relative)}};
}

Json set_up_json(const std::optional<SetUp>& set_up) {
  if (!set_up) return nullptr;
  return {{"dark_level", number(set_up->dark_level)},
          {"mean_level", number(set_up->mean_level)},
          {"coupling_corner_hz", number(set_up->coupling_corner_hz)},
          {"sensor_corner_hz", number(set_up->sensor_corner_hz)}};
}

Json unexplained_json(const std::vector<UnexplainedLight>& bands) {
  Json list = Json::array();
  for (const UnexplainedLight& u : bands) {
    list.push_back({{"from_hz", number(u.from_hz)},
                    {"to_hz", number(u.to_hz)},
                    {"percent", number(100.0 * u.rms)}});
  }
  return list;
}

/// What rating and predicting need of a state, beside what people read of it.
Json state_json(const MeasuredState& s) {
  Json components = Json::array();
  for (const LightComponent& c : s.light.components) {
    components.push_back({{"hz", number(c.hz)},
                          {"percent", number(100.0 * c.amplitude)},
                          {"phase_deg", number(c.phase_rad * 180.0 / std::numbers::pi)},
                          {"mains_order", c.mains_order ? Json(*c.mains_order) : Json(nullptr)}});
  }
  return {{"from_s", number(s.from_s)},
          {"to_s", number(s.to_s)},
          {"what", s.dark ? dark_word : ""},
          {"shown", s.shown},
          {"mean", number(s.mean)},
          {"percent_flicker", number(s.percent_flicker)},
          {"flicker_index", number(s.flicker_index)},
          {"dominant_hz", number(s.dominant_hz)},
          {"mains_hz", number(s.light.mains_hz)},
          {"hidden_percent", number(s.light.noise_percent)},
          {"components", components},
          {"unexplained", unexplained_json(s.light.unexplained)}};
}

/// What the samples could mean as well; enough to judge it by.
Json reading_json(const LightState& reading) {
  Json components = Json::array();
  for (const LightComponent& c : reading.components) {
    components.push_back({{"hz", number(c.hz)},
                          {"percent", number(100.0 * c.amplitude)},
                          {"phase_deg", number(c.phase_rad * 180.0 / std::numbers::pi)},
                          {"mains_order", c.mains_order ? Json(*c.mains_order) : Json(nullptr)}});
  }
  return {
      {"what", reading.what}, {"mains_hz", number(reading.mains_hz)}, {"components", components}};
}

Json deepest_json(const LightState& reading) {
  Json object = reading_json(reading);
  object["unexplained"] = unexplained_json(reading.unexplained);
  object["worst_case_only"] = reading.worst_case_only;
  return object;
}

Json over_time(const TimeResolved& t) {
  Json windows = Json::array();
  for (const WindowFigures& w : t.windows) {
    windows.push_back({{"start_s", number(w.start_s)},
                       {"duration_s", number(w.duration_s)},
                       {"mean", number(w.mean)},
                       {"percent_flicker", number(w.percent_flicker)},
                       {"flicker_index", number(w.flicker_index)},
                       {"dominant_hz", number(w.dominant_hz)}});
  }
  return {{"median_percent_flicker", number(t.median_percent_flicker)},
          {"worst_percent_flicker", number(t.worst_percent_flicker)},
          {"worst_start_s", number(t.worst_start_s)},
          {"windows", windows}};
}

}  // namespace

std::string to_json(const Measurement& m) {
  Json document = files::json::document("lampbeat.measure/1");
  document["capture"] = m.capture;
  document["capture_kind"] = m.capture_kind;
  document["samples"] = m.samples;
  document["rate_hz"] = number(m.rate_hz);
  document["duration_s"] = number(m.duration_s);
  document["set_up"] = set_up_json(m.set_up);
  document["mean"] = number(m.mean);
  document["percent_flicker"] = number(m.percent_flicker);
  document["percent_flicker_uncertainty"] = number(m.percent_flicker_sd);
  document["percent_flicker_raw"] = number(m.percent_flicker_raw);
  document["flicker_index"] = number(m.flicker_index);
  document["flicker_index_uncertainty"] = number(m.flicker_index_sd);
  document["dominant_hz"] = number(m.dominant_hz);
  document["dominant_hz_uncertainty"] = number(m.dominant_hz_sd);
  document["clock_ppm"] = number(m.clock_ppm);
  document["mains_hz"] = number(m.mains_hz);
  document["noise_percent"] = number(m.noise_percent);
  document["steady_below_percent"] = number(m.steady_below_percent);
  document["steady_from_hz"] = number(m.steady_from_hz);
  document["clock_spread_percent"] = number(m.clock_spread_percent);
  document["unexplained_percent"] = number(m.unexplained_percent);
  document["unexplained"] = unexplained_json(m.unexplained);
  document["states"] = Json::array();
  for (const MeasuredState& state : m.states) document["states"].push_back(state_json(state));
  document["components"] = Json::array();
  for (const MeasuredComponent& c : m.components) document["components"].push_back(component(c));
  document["inferred_components"] = Json::array();
  for (const MeasuredComponent& c : m.inferred_components) {
    document["inferred_components"].push_back(component(c));
  }
  document["other_readings"] = Json::array();
  for (const LightState& reading : m.other_readings) {
    document["other_readings"].push_back(reading_json(reading));
  }
  if (!m.deepest.empty()) {
    document["deepest"] = Json::array();
    for (const LightState& reading : m.deepest) {
      document["deepest"].push_back(deepest_json(reading));
    }
  }
  document["lowpass_percent"] = Json::object();
  for (const Ja10CutOff cut_off : ja10_cut_offs) {
    document["lowpass_percent"][fmt::format("{:.0f}", cut_off_hz(cut_off))] =
        number(m.lowpass_percent[cut_off]);
  }
  document["svm"] = number(m.svm);
  document["pst_lm"] = number(m.pst_lm);
  document["ieee1789"] = report::json::ieee1789(m.ieee);
  document["standards"] = Json::array();
  for (const StandardVerdict& v : m.standards)
    document["standards"].push_back(report::json::standard(v));
  document["over_time"] = over_time(m.over_time);
  document["warnings"] = files::json::list_of(m.warnings);
  return files::json::one_line(document);
}

}  // namespace lampbeat
