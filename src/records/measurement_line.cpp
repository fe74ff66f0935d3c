#include <fmt/format.h>

#include <cmath>
#include <numbers>

#include "files/json.hpp"
#include "lampbeat/error.hpp"
#include "lampbeat/measurement_line.hpp"
#include "lampbeat/rating.hpp"
#include "records/limits.hpp"
#include "records/line_keys.hpp"

namespace lampbeat {

namespace {

using files::json::Json;
using records::has;
using records::number;
using records::text;

[[noreturn]] void refuse(const std::string& why) {
  throw InputError(why + "; expected a line of 'lampbeat measure --json'");
}

double required(const Json& object, const char* key, double low, double high) {
  const std::optional<double> value = number(object, key, low, high);
  if (!value) refuse(fmt::format("\"{}\" is missing", key));
  return *value;
}

const Json& list(const Json& object, const char* key) {
  static const Json empty = Json::array();
  if (!has(object, key)) return empty;
  if (!object[key].is_array()) refuse(fmt::format("\"{}\" should be a list", key));
  if (object[key].size() > records::most_components) refuse(fmt::format("\"{}\" is too long", key));
  return object[key];
}

/// Lines of older versions do not say it.
ComponentKind kind(const Json& entry, bool locked) {
  if (!has(entry, "kind")) return locked ? ComponentKind::mains : ComponentKind::free_running;
  const std::string word = text(entry, "kind");
  const std::optional<ComponentKind> known = component_kind(word);
  if (!known) refuse(fmt::format("no rhythm is of the kind \"{}\"", word));
  return *known;
}

MeasuredComponent component(const Json& entry) {
  MeasuredComponent c;
  c.hz = required(entry, "hz", 1e-6, 1e9);
  c.percent = number(entry, "percent", 0.0, 1e6);
  c.relative = number(entry, "relative", 0.0, 1.0).value_or(0.0);
  c.phase_deg = number(entry, "phase_deg", -360.0, 360.0).value_or(0.0);
  c.hz_sd = number(entry, "hz_uncertainty", 0.0, 1e9).value_or(0.0);
  c.percent_sd = number(entry, "percent_uncertainty", 0.0, 1e9);
  if (const auto order = number(entry, "mains_order", 1.0, 1e6)) {
    c.mains_order = static_cast<int>(std::lround(*order));
  }
  c.kind = kind(entry, c.mains_order.has_value());
  return c;
}

std::vector<UnexplainedLight> unexplained(const Json& object) {
  std::vector<UnexplainedLight> bands;
  for (const Json& band : list(object, "unexplained")) {
    const double from_hz = required(band, "from_hz", 0.0, 1e9);
    bands.push_back({from_hz, required(band, "to_hz", from_hz, 1e9),
                     required(band, "percent", 0.0, 1e6) / 100.0});
  }
  return bands;
}

std::optional<SetUp> set_up(const Json& document) {
  if (!has(document, "set_up")) return std::nullopt;
  const Json& entry = document["set_up"];
  return SetUp{number(entry, "dark_level", -1e18, 1e18), number(entry, "mean_level", 0.0, 1e18),
               number(entry, "coupling_corner_hz", 0.0, 1e9),
               number(entry, "sensor_corner_hz", 0.0, 1e12)};
}

LightState reading(const Json& entry) {
  LightState state;
  state.what = text(entry, "what");
  state.mains_hz = number(entry, "mains_hz", 10.0, 1000.0);
  for (const Json& part : list(entry, "components")) {
    const MeasuredComponent c = component(part);
    state.components.push_back({c.hz, c.percent.value_or(0.0) / 100.0,
                                c.phase_deg * std::numbers::pi / 180.0, c.mains_order});
  }
  return state;
}

LightState deepest(const Json& entry) {
  LightState state = reading(entry);
  state.unexplained = unexplained(entry);
  state.worst_case_only = has(entry, "worst_case_only") && entry["worst_case_only"].is_boolean() &&
                          entry["worst_case_only"].get<bool>();
  return state;
}

MeasuredState state(const Json& entry) {
  MeasuredState s;
  s.from_s = number(entry, "from_s", 0.0, 1e9).value_or(0.0);
  s.to_s = number(entry, "to_s", 0.0, 1e9).value_or(0.0);
  s.dark = text(entry, "what") == dark_word;
  s.shown = has(entry, "shown") && entry["shown"].is_boolean() && entry["shown"].get<bool>();
  s.mean = number(entry, "mean", -1e18, 1e18);
  s.percent_flicker = number(entry, "percent_flicker", 0.0, 1e6);
  s.flicker_index = number(entry, "flicker_index", 0.0, 1.0);
  s.dominant_hz = number(entry, "dominant_hz", 0.0, 1e9);
  s.light.what = fmt::format("from {:.1f} s to {:.1f} s", s.from_s, s.to_s);
  s.light.mains_hz = number(entry, "mains_hz", 10.0, 1000.0);
  s.light.noise_percent = number(entry, "hidden_percent", 0.0, 1e6).value_or(0.0);
  s.light.components = reading(entry).components;
  s.light.unexplained = unexplained(entry);
  return s;
}

std::optional<Ieee1789> ieee(const Json& document) {
  if (!has(document, "ieee1789") || !has(document["ieee1789"], "level")) return std::nullopt;
  const Json& entry = document["ieee1789"];
  const std::string words = text(entry, "level");
  const std::optional<Ieee1789Level> level = ieee1789_level(words);
  if (!level) refuse(fmt::format("IEEE 1789 has no level \"{}\"", words));
  return Ieee1789{*level,
                  required(entry, "low_risk_limit_percent", 0.0, 1e6),
                  required(entry, "no_effect_limit_percent", 0.0, 1e6),
                  number(entry, "hz", 0.0, 1e9).value_or(0.0),
                  number(entry, "percent", 0.0, 1e6).value_or(0.0),
                  number(entry, "percent_uncertainty", 0.0, 1e6).value_or(0.0)};
}

StandardVerdict standard(const Json& entry) {
  StandardVerdict v;
  v.standard = text(entry, "standard");
  v.quantity = text(entry, "quantity");
  v.value = number(entry, "value", -1e9, 1e9);
  v.unit = text(entry, "unit");
  v.limit = required(entry, "limit", -1e9, 1e9);
  if (has(entry, "met") && entry["met"].is_boolean()) v.met = entry["met"].get<bool>();
  v.note = text(entry, "note");
  return v;
}

}  // namespace

bool is_json_line(const std::string& text) {
  const std::size_t first = text.find_first_not_of(" \t\r\n\xEF\xBB\xBF");
  return first != std::string::npos && text[first] == '{';
}

Measurement read_measurement_line(const std::string& line) {
  const Json document = Json::parse(line, nullptr, false);
  if (document.is_discarded()) refuse("not valid JSON (cut off?)");
  if (!document.is_object() || !has(document, "schema") || !document["schema"].is_string()) {
    refuse("JSON without a \"schema\"");
  }
  const std::string schema = document["schema"].get<std::string>();
  if (schema != "lampbeat.measure/1") refuse(fmt::format("its schema is \"{}\"", schema));

  Measurement m;
  m.capture = text(document, "capture");
  m.capture_kind = text(document, "capture_kind");
  m.samples = static_cast<std::uint64_t>(number(document, "samples", 0.0, 1e15).value_or(0.0));
  m.rate_hz = number(document, "rate_hz", 0.0, 1e12);
  m.duration_s = number(document, "duration_s", 0.0, 1e9).value_or(0.0);
  m.set_up = set_up(document);
  if (const auto by = number(document, "measurement_version", 1.0, 1e6)) {
    m.version = static_cast<int>(*by);
  }
  m.mean = number(document, "mean", -1e18, 1e18);
  m.percent_flicker = number(document, "percent_flicker", 0.0, 1e6);
  m.percent_flicker_sd = number(document, "percent_flicker_uncertainty", 0.0, 1e6);
  m.percent_flicker_raw = number(document, "percent_flicker_raw", -1e9, 1e9);
  m.flicker_index = number(document, "flicker_index", 0.0, 1.0);
  m.flicker_index_sd = number(document, "flicker_index_uncertainty", 0.0, 1e6);
  m.dominant_hz = number(document, "dominant_hz", 0.0, 1e9);
  m.dominant_hz_sd = number(document, "dominant_hz_uncertainty", 0.0, 1e9);
  m.clock_ppm = number(document, "clock_ppm", 0.0, 1e6).value_or(0.0);
  m.mains_hz = number(document, "mains_hz", 10.0, 1000.0);
  m.noise_percent = number(document, "noise_percent", 0.0, 1e9);
  m.clock_spread_percent = number(document, "clock_spread_percent", 0.0, 1e6);
  m.steady_below_percent = number(document, "steady_below_percent", 0.0, 1e6);
  m.steady_from_hz = number(document, "steady_from_hz", 0.0, 1e9);
  m.unexplained_percent = number(document, "unexplained_percent", 0.0, 1e6);
  m.unexplained = unexplained(document);
  for (const Json& entry : list(document, "components")) m.components.push_back(component(entry));
  for (const Json& entry : list(document, "inferred_components")) {
    m.inferred_components.push_back(component(entry));
  }
  for (const Json& entry : list(document, "other_readings")) {
    m.other_readings.push_back(reading(entry));
  }
  for (const Json& entry : list(document, "deepest")) m.deepest.push_back(deepest(entry));
  for (const Json& entry : list(document, "states")) m.states.push_back(state(entry));
  m.svm = number(document, "svm", 0.0, 1e9);
  m.pst_lm = number(document, "pst_lm", 0.0, 1e9);
  m.ieee = ieee(document);
  for (const Json& entry : list(document, "standards")) m.standards.push_back(standard(entry));
  for (const Json& entry : list(document, "warnings")) {
    m.warnings.push_back({text(entry, "code"), text(entry, "message")});
  }
  return m;
}

}  // namespace lampbeat
