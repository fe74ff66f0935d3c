#include "page/asked.hpp"

#include <fmt/format.h>

#include <fstream>

#include "lampbeat/camera.hpp"
#include "lampbeat/error.hpp"
#include "lampbeat/frequency_light.hpp"
#include "lampbeat/light_profile.hpp"
#include "lampbeat/typical.hpp"
#include "words/foreign_text.hpp"
#include "words/number_reader.hpp"

namespace lampbeat::page {
namespace {

double number_of(std::string text, const char* what) {
  constexpr std::string_view unit = "Hz";
  if (text.ends_with(unit)) text.erase(text.size() - unit.size());
  while (!text.empty() && text.back() == ' ') text.pop_back();
  const auto number = words::finite_number_in(text);
  if (!number) {
    throw UsageError(
        fmt::format("{} should be a number of hertz, not '{}'", what, words::excerpt(text)));
  }
  return *number;
}

/// A profile comes as text; its reader, and its complaints, want a file.
Light light_of_profile(const std::string& text) {
  const std::string name = "the light profile";
  std::ofstream(name) << text;
  return read_light_profile(name);
}

Light light_of(const Json& entry, const std::optional<double>& mains_hz,
               const std::vector<LightShare>& before) {
  if (const std::string text = text_of(entry, "profile"); !text.empty()) {
    return light_of_profile(text);
  }
  if (const std::string hz = text_of(entry, "hz"); !hz.empty()) {
    return light_of_frequency(number_of(hz, "the light's frequency"), mains_hz);
  }
  // A typical light has no mains of its own: it takes the room's.
  constexpr double usual_hz = 60.0;
  const double room_hz =
      before.empty() ? usual_hz : before.front().light.mains_hz.value_or(usual_hz);
  return typical_light(text_of(entry, "typical"), mains_hz.value_or(room_hz));
}

}  // namespace

std::string text_of(const Json& request, const char* key) {
  const auto found = request.find(key);
  return found != request.end() && found->is_string() ? found->get<std::string>() : std::string();
}

Asked asked_for(const Json& request) {
  Asked asked;
  if (const std::string mains = text_of(request, "mains"); !mains.empty()) {
    asked.options.mains_hz = number_of(mains, "the mains");
    require_mains_hz(*asked.options.mains_hz);
  }
  for (const Json& entry : request.at("lights")) {
    Light light = light_of(entry, asked.options.mains_hz, asked.lights);
    asked.lights.push_back({std::move(light), entry.value("share", 1.0)});
  }
  asked.fps = parse_frame_rate(text_of(request, "fps"));
  asked.shutter = text_of(request, "shutter");
  if (const std::string readout = text_of(request, "readout"); !readout.empty()) {
    asked.readout_s = parse_readout_s(readout);
  }
  return asked;
}

Shot shot_asked_for(const Asked& asked) {
  return shot_of(asked.fps, parse_exposure_s(asked.shutter, asked.fps), asked.readout_s);
}

}  // namespace lampbeat::page
