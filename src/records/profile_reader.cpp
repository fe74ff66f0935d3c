#include "records/profile_reader.hpp"

#include <fmt/format.h>

#include "lampbeat/error.hpp"
#include "records/limits.hpp"
#include "words/foreign_text.hpp"

namespace lampbeat::records {

namespace {

constexpr const char* a_profile = "a light profile saved by 'lampbeat measure --save'";
// Measurements tell two dozen states apart and bands by octaves; a file with more was not written
// here.
constexpr std::size_t most_states = 64;
constexpr std::size_t most_bands = 64;

}  // namespace

ProfileReader::ProfileReader(const std::string& path)
    : path_(path), root_(files::json::read_document(path, "lampbeat.light", a_profile)) {}

Light ProfileReader::light() const {
  Light light;
  light.name = text(root_, "name", "");
  light.source = text(root_, "source", "");
  light.made = text(root_, "made", "");
  if (has(root_, "depth")) {
    const std::string words = text(root_, "depth", "");
    const auto known = depth_known(words);
    if (!known) {
      refuse(fmt::format("\"depth\" is \"{}\", which is none of measured, assumed deepest, typical",
                         words::excerpt(words)));
    }
    light.depth = *known;
  }
  light.any_waveform = yes(root_, "any_waveform");
  read_state(root_, "", light);
  light.clock_spread_percent = or_nothing(root_, "", "clock_spread_percent", 0, 100);
  if (has(root_, "other_states")) {
    const Json& states = list(root_, "", "other_states", most_states);
    for (std::size_t i = 0; i < states.size(); ++i) {
      const std::string where = fmt::format("other state {}: ", i + 1);
      if (!states[i].is_object()) refuse(where + "should be an object");
      LightState& state = light.other_states.emplace_back();
      state.what = text(states[i], "what", "");
      state.worst_case_only = yes(states[i], "worst_case_only");
      read_state(states[i], where, state);
    }
  }
  if (has(root_, "figures")) light.figures = read_figures(root_["figures"]);
  if (has(root_, "warnings")) read_findings(light.findings);
  return light;
}

void ProfileReader::refuse(const std::string& why) const {
  throw InputError(fmt::format("{}: {}; expected {}", path_, why, a_profile));
}

bool ProfileReader::has(const Json& object, const char* key) {
  return object.contains(key) && !object[key].is_null();
}

std::string ProfileReader::text(const Json& object, const char* key,
                                const std::string& otherwise) const {
  if (!has(object, key)) return otherwise;
  if (!object[key].is_string()) refuse(fmt::format("\"{}\" should be text", key));
  return object[key].get<std::string>();
}

bool ProfileReader::yes(const Json& object, const char* key) const {
  if (!has(object, key)) return false;
  if (!object[key].is_boolean()) refuse(fmt::format("\"{}\" should be true or false", key));
  return object[key].get<bool>();
}

double ProfileReader::in_range(const Json& object, const std::string& where, const char* key,
                               double low, double high) const {
  if (!object.contains(key) || !object[key].is_number()) {
    refuse(fmt::format("{}\"{}\" should be a number", where, key));
  }
  const double value = object[key].get<double>();
  if (!(value >= low && value <= high)) {
    refuse(fmt::format("{}\"{}\" is {}, outside {} ... {}", where, key, value, low, high));
  }
  return value;
}

double ProfileReader::or_nothing(const Json& object, const std::string& where, const char* key,
                                 double low, double high) const {
  return has(object, key) ? in_range(object, where, key, low, high) : 0.0;
}

const files::json::Json& ProfileReader::list(const Json& object, const std::string& where,
                                             const char* key, std::size_t most) const {
  if (!has(object, key) || !object[key].is_array()) {
    refuse(fmt::format("{}\"{}\" should be a list", where, key));
  }
  if (object[key].size() > most) {
    refuse(fmt::format("{}more than {} entries in \"{}\"", where, most, key));
  }
  return object[key];
}

void ProfileReader::read_state(const Json& object, const std::string& where, auto& state) const {
  state.noise_percent = or_nothing(object, where, "noise_percent", 0, 1e6);
  if (has(object, "mains_hz")) state.mains_hz = in_range(object, where, "mains_hz", 10, 1000);
  const Json& components = list(object, where, "components", records::most_components);
  for (std::size_t i = 0; i < components.size(); ++i) {
    state.components.push_back(component(components[i], where, i));
  }
  if (!has(object, "unexplained")) return;
  for (const Json& entry : list(object, where, "unexplained", most_bands)) {
    if (!entry.is_object()) refuse(where + "an unexplained band should be an object");
    UnexplainedLight& band = state.unexplained.emplace_back();
    band.from_hz = in_range(entry, where, "from_hz", 0, 1e9);
    band.to_hz = in_range(entry, where, "to_hz", band.from_hz, 1e9);
    band.rms = in_range(entry, where, "percent", 0, 1000) / 100.0;
  }
}

LightComponent ProfileReader::component(const Json& entry, const std::string& of,
                                        std::size_t index) const {
  const std::string where = fmt::format("{}component {}: ", of, index + 1);
  if (!entry.is_object()) refuse(where + "should be an object");
  LightComponent c;
  c.hz = in_range(entry, where, "hz", 1e-6, 1e9);
  c.amplitude = in_range(entry, where, "percent", 0, 1000) / 100.0;
  c.phase_rad = in_range(entry, where, "phase_deg", -3600, 3600) / degrees;
  if (has(entry, "mains_order")) {
    if (!entry["mains_order"].is_number_integer())
      refuse(where + "\"mains_order\" should be a whole number");
    c.mains_order = static_cast<int>(in_range(entry, where, "mains_order", 1, 1e6));
  }
  return c;
}

LightFigures ProfileReader::read_figures(const Json& object) const {
  const std::string where = "figures: ";
  if (!object.is_object()) refuse("\"figures\" should be an object");
  const auto figure = [&](const char* key, double most) -> std::optional<double> {
    if (!has(object, key)) return std::nullopt;
    return in_range(object, where, key, 0.0, most);
  };
  LightFigures figures;
  figures.percent_flicker = figure("percent_flicker", 100.0);
  figures.flicker_index = figure("flicker_index", 1.0);
  figures.dominant_hz = figure("dominant_hz", 1e9);
  figures.svm = figure("svm", 1e6);
  figures.pst_lm = figure("pst_lm", 1e6);
  figures.below_200_percent = figure("below_200_percent", 1e6);
  figures.steady_below_percent = figure("steady_below_percent", 1e6);
  if (has(object, "worst_rhythm")) {
    const Json& worst = object["worst_rhythm"];
    if (!worst.is_object()) refuse("\"worst_rhythm\" should be an object");
    figures.worst_rhythm = {in_range(worst, where, "hz", 1e-6, 1e9),
                            in_range(worst, where, "percent", 0, 1e6),
                            or_nothing(worst, where, "percent_uncertainty", 0, 1e6)};
  }
  figures.percent_flicker_sd = figure("percent_flicker_uncertainty", 1e6);
  figures.flicker_index_sd = figure("flicker_index_uncertainty", 1e6);
  figures.dominant_hz_sd = figure("dominant_hz_uncertainty", 1e9);
  figures.rate_hz = figure("rate_hz", 1e12);
  figures.seen_above_percent = figure("seen_above_percent", 1e6);
  if (const auto by = figure("measurement_version", 1e6)) {
    figures.measurement_version = static_cast<int>(*by);
  }
  if (has(object, "set_up")) figures.set_up = read_set_up(object["set_up"]);
  return figures;
}

SetUp ProfileReader::read_set_up(const Json& object) const {
  const std::string where = "figures: set_up: ";
  if (!object.is_object()) refuse("\"set_up\" should be an object");
  const auto given = [&](const char* key, double low, double high) -> std::optional<double> {
    if (!has(object, key)) return std::nullopt;
    return in_range(object, where, key, low, high);
  };
  return {given("dark_level", -1e18, 1e18), given("mean_level", 0.0, 1e18),
          given("coupling_corner_hz", 0.0, 1e9), given("sensor_corner_hz", 0.0, 1e12)};
}

void ProfileReader::read_findings(Findings& findings) const {
  if (!root_["warnings"].is_array()) refuse("\"warnings\" should be a list");
  for (const Json& entry : root_["warnings"]) {
    if (!entry.is_object()) refuse("a warning should be an object");
    findings.push_back({text(entry, "code", ""), text(entry, "message", "")});
  }
}

}  // namespace lampbeat::records
