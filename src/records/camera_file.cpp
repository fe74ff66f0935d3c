#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <utility>

#include "files/json.hpp"
#include "lampbeat/camera.hpp"
#include "lampbeat/camera_file.hpp"
#include "lampbeat/error.hpp"
#include "lampbeat/shutters.hpp"
#include "words/foreign_text.hpp"

namespace lampbeat {

namespace {

using files::json::Json;

constexpr const char* a_camera = "a camera file";
constexpr std::size_t most_modes = 1000;
constexpr std::size_t most_shutters = 1000;
constexpr std::size_t longest_text = 200;

/// A note may be any text; one that is something else is a key of somebody else's.
bool has_notes(const Json& object) {
  return object.contains("notes") && object["notes"].is_string();
}

std::string notes(const Json& object) {
  return has_notes(object) ? object["notes"].get<std::string>() : std::string();
}

/// What an object holds besides the keys this program knows.
template <std::size_t count>
std::string other_keys(const Json& object, const std::array<const char*, count>& known) {
  Json others = object;
  for (const char* key : known) others.erase(key);
  if (has_notes(object)) others.erase("notes");
  return others.empty() ? std::string() : others.dump();
}

void add_notes_and_others(Json& object, const std::string& notes, const std::string& others) {
  if (!notes.empty()) object["notes"] = notes;
  if (others.empty()) return;
  const Json kept = Json::parse(others);
  for (const auto& [key, value] : kept.items()) object[key] = value;
}

/// Reads one camera file, naming file, mode and key in everything it refuses.
class CameraReader {
 public:
  explicit CameraReader(const std::string& path)
      : path_(path), root_(files::json::read_document(path, "lampbeat.camera", a_camera)) {}

  Camera camera() const {
    Camera camera;
    camera.name = text(root_, "", "name");
    if (!root_.contains("modes") || !root_["modes"].is_array() || root_["modes"].empty()) {
      refuse("\"modes\" should be a list of at least one mode");
    }
    if (root_["modes"].size() > most_modes) refuse("more than 1000 modes");
    for (std::size_t i = 0; i < root_["modes"].size(); ++i) {
      camera.modes.push_back(mode(root_["modes"][i], i));
      for (std::size_t j = 0; j < i; ++j) {
        if (camera.modes[j].name == camera.modes[i].name) {
          refuse(fmt::format("two modes are called \"{}\"", camera.modes[i].name));
        }
      }
    }
    camera.notes = notes(root_);
    constexpr std::array known = {"schema", "version", "measurement_version", "name", "modes"};
    camera.other_keys = other_keys(root_, known);
    return camera;
  }

 private:
  [[noreturn]] void refuse(const std::string& why) const {
    throw InputError(fmt::format("{}: {}", path_, why));
  }

  std::string text(const Json& object, const std::string& where, const char* key) const {
    if (!object.contains(key) || !object[key].is_string()) {
      refuse(fmt::format("{}\"{}\" should be text", where, key));
    }
    const std::string value = object[key].get<std::string>();
    if (value.empty()) refuse(fmt::format("{}\"{}\" must not be empty", where, key));
    if (std::any_of(value.begin(), value.end(),
                    [](char c) { return static_cast<unsigned char>(c) < 0x20; })) {
      refuse(fmt::format("{}\"{}\" holds a control character", where, key));
    }
    if (value.size() > longest_text) {
      refuse(fmt::format("{}\"{}\" is longer than {} characters", where, key, longest_text));
    }
    return value;
  }

  CameraMode mode(const Json& entry, std::size_t index) const {
    std::string where = fmt::format("mode {}: ", index + 1);
    if (!entry.is_object()) refuse(where + "should be an object with \"name\" and \"fps\"");
    CameraMode mode;
    mode.name = text(entry, where, "name");
    where = fmt::format("mode \"{}\": ", mode.name);
    mode.fps = frame_rate(entry, where);
    if (entry.contains("rows")) {
      if (!entry["rows"].is_number_integer() || entry["rows"] < 1 || entry["rows"] > 1000000) {
        refuse(where + "\"rows\" should be a whole number between 1 and 1000000");
      }
      mode.rows = entry["rows"].get<int>();
    }
    mode.readout_s = readout(entry, where);
    if (entry.contains("shutters") && !entry["shutters"].is_null()) {
      mode.shutters = shutters(entry["shutters"], where, mode.fps);
    }
    mode.notes = notes(entry);
    constexpr std::array known = {"name", "fps", "rows", "readout", "shutters"};
    mode.other_keys = other_keys(entry, known);
    return mode;
  }

  FrameRate frame_rate(const Json& entry, const std::string& where) const {
    // 25 and 29.97 may be typed bare; as text they may also be a fraction.
    std::string written;
    if (entry.contains("fps") && entry["fps"].is_number()) {
      written = entry["fps"].dump();
    } else if (entry.contains("fps") && entry["fps"].is_string()) {
      written = entry["fps"].get<std::string>();
    } else {
      refuse(where + "\"fps\" should be a frame rate such as 25 or \"30000/1001\"");
    }
    // A JSON 25.0 is the same number as 25.
    if (written.size() > 2 && written.substr(written.size() - 2) == ".0") {
      written.resize(written.size() - 2);
    }
    try {
      return parse_frame_rate(written);
    } catch (const UsageError& error) {
      refuse(fmt::format("{}\"fps\": {}", where, error.what()));
    }
  }

  std::optional<double> readout(const Json& entry, const std::string& where) const {
    if (!entry.contains("readout") || entry["readout"].is_null()) return std::nullopt;
    if (!entry["readout"].is_string()) {
      refuse(where +
             "\"readout\" should be text such as \"16ms\" or \"global\", or null when nobody "
             "measured it");
    }
    try {
      return parse_readout_s(entry["readout"].get<std::string>());
    } catch (const UsageError& error) {
      refuse(fmt::format("{}\"readout\": {}", where, error.what()));
    }
  }

  std::vector<std::string> shutters(const Json& list, const std::string& where,
                                    FrameRate fps) const {
    if (!list.is_array()) {
      refuse(where + "\"shutters\" should be a list such as [\"1/50\", \"180deg\"]");
    }
    if (list.size() > most_shutters) refuse(where + "more than 1000 shutters");
    std::vector<std::string> shutters;
    for (const Json& entry : list) {
      if (!entry.is_string()) {
        refuse(fmt::format("{}\"shutters\": {} should be text such as \"1/50\"", where,
                           words::excerpt(entry.dump())));
      }
      shutters.push_back(entry.get<std::string>());
      check_shutter(shutters.back(), where, fps);
    }
    return shutters;
  }

  /// Readable is enough: a dial may well show speeds longer than this mode's frame.
  void check_shutter(const std::string& written, const std::string& where, FrameRate fps) const {
    try {
      if (!is_shutter_range(written)) parse_exposure_s(written, fps);
    } catch (const UsageError& error) {
      try {
        if (!is_shutter_range(written)) parse_exposure_s(written, FrameRate{1, 1});
      } catch (const UsageError&) {
        refuse(fmt::format("{}\"shutters\": {}", where, error.what()));
      }
    }
  }

  std::string path_;
  Json root_;
};

Json written(FrameRate fps) {
  const std::string label = frame_rate_label(fps);
  if (parse_frame_rate(label) == fps) return label;
  return fmt::format("{}/{}", fps.numerator, fps.denominator);
}

Json written(const std::optional<double>& readout_s) {
  if (!readout_s) return nullptr;
  if (*readout_s == 0.0) return "global";
  return fmt::format("{}ms", std::round(1e6 * *readout_s * 1e3) / 1e6);
}

}  // namespace

Camera read_camera(const std::string& path) { return CameraReader(path).camera(); }

std::string camera_json(const Camera& camera) {
  Json document = files::json::document("lampbeat.camera/1");
  document["name"] = camera.name;
  add_notes_and_others(document, camera.notes, camera.other_keys);
  document["modes"] = Json::array();
  for (const CameraMode& mode : camera.modes) {
    Json entry = {{"name", mode.name},
                  {"fps", written(mode.fps)},
                  {"rows", mode.rows},
                  {"readout", written(mode.readout_s)},
                  {"shutters", mode.shutters}};
    add_notes_and_others(entry, mode.notes, mode.other_keys);
    document["modes"].push_back(std::move(entry));
  }
  return files::json::for_a_file(document);
}

}  // namespace lampbeat
