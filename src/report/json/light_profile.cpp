#include <fmt/format.h>

#include <cmath>
#include <fstream>

#include "lampbeat/error.hpp"
#include "lampbeat/report.hpp"
#include "report/json/json.hpp"

namespace lampbeat {

namespace {

using json::Json;

constexpr const char* what = "a light profile saved by 'lampbeat measure --save'";
constexpr std::size_t most_components = 4096;
constexpr double degrees = 57.29577951308232;

/// Reads one profile, naming file and key in everything it refuses.
class ProfileReader {
 public:
  explicit ProfileReader(const std::string& path)
      : path_(path), root_(json::read_document(path, "lampbeat.light", what)) {}

  Light light() const {
    Light light;
    light.name = text(root_, "name", "");
    light.source = text(root_, "source", "");
    light.made = text(root_, "made", "");
    light.noise_percent =
        root_.contains("noise_percent") ? in_range(root_, "", "noise_percent", 0, 1e6) : 0.0;
    if (has(root_, "mains_hz")) light.mains_hz = in_range(root_, "", "mains_hz", 10, 1000);
    const Json& list = root_.contains("components") ? root_["components"] : Json();
    if (!list.is_array()) refuse("\"components\" should be a list");
    if (list.size() > most_components) refuse("more than 4096 components");
    for (std::size_t i = 0; i < list.size(); ++i) light.components.push_back(component(list[i], i));
    if (has(root_, "warnings")) read_findings(light.findings);
    return light;
  }

 private:
  [[noreturn]] void refuse(const std::string& why) const {
    throw InputError(fmt::format("{}: {}; expected {}", path_, why, what));
  }
  static bool has(const Json& object, const char* key) {
    return object.contains(key) && !object[key].is_null();
  }
  std::string text(const Json& object, const char* key, const std::string& otherwise) const {
    if (!has(object, key)) return otherwise;
    if (!object[key].is_string()) refuse(fmt::format("\"{}\" should be text", key));
    return object[key].get<std::string>();
  }
  double in_range(const Json& object, const std::string& where, const char* key, double low,
                  double high) const {
    if (!object.contains(key) || !object[key].is_number()) {
      refuse(fmt::format("{}\"{}\" should be a number", where, key));
    }
    const double value = object[key].get<double>();
    if (!(value >= low && value <= high)) {
      refuse(fmt::format("{}\"{}\" is {}, outside {} ... {}", where, key, value, low, high));
    }
    return value;
  }
  LightComponent component(const Json& entry, std::size_t index) const {
    const std::string where = fmt::format("component {}: ", index + 1);
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
  void read_findings(Findings& findings) const {
    if (!root_["warnings"].is_array()) refuse("\"warnings\" should be a list");
    for (const Json& entry : root_["warnings"]) {
      if (!entry.is_object()) refuse("a warning should be an object");
      findings.push_back({text(entry, "code", ""), text(entry, "message", "")});
    }
  }

  std::string path_;
  Json root_;
};

}  // namespace

std::string light_profile(const Light& light) {
  Json document = json::document("lampbeat.light/1");
  document["name"] = light.name;
  document["source"] = light.source;
  document["made"] = light.made;
  document["mains_hz"] = json::number(light.mains_hz);
  document["noise_percent"] = json::number(light.noise_percent);
  document["components"] = Json::array();
  for (const LightComponent& c : light.components) {
    document["components"].push_back(
        {{"hz", c.hz},
         {"percent", 100.0 * c.amplitude},
         {"phase_deg", c.phase_rad * degrees},
         {"mains_order", c.mains_order ? Json(*c.mains_order) : Json(nullptr)}});
  }
  document["warnings"] = json::list_of(light.findings);
  return json::for_a_file(document);
}

Light read_light_profile(const std::string& path) { return ProfileReader(path).light(); }

bool is_light_profile(const std::string& path) {
  // The name decides nothing: the first character of the content does. No sound file and no table
  // starts with a brace.
  std::ifstream file(path, std::ios::binary);
  char first = 0;
  while (file.get(first)) {
    if (first == '{') return true;
    if (first != ' ' && first != '\n' && first != '\r' && first != '\t') return false;
  }
  return false;
}

}  // namespace lampbeat
