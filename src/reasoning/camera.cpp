#include "lampbeat/camera.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cctype>

#include "lampbeat/error.hpp"

namespace lampbeat {

namespace {

std::string small_letters(std::string text) {
  for (char& c : text) c = static_cast<char>(std::tolower(static_cast<unsigned char>(c)));
  return text;
}

}  // namespace

const CameraMode& mode_named(const Camera& camera, const std::string& name) {
  if (name.empty() && camera.modes.size() == 1) return camera.modes.front();
  const auto found =
      std::find_if(camera.modes.begin(), camera.modes.end(), [&](const CameraMode& mode) {
        return !name.empty() && small_letters(mode.name) == small_letters(name);
      });
  if (found != camera.modes.end()) return *found;
  constexpr std::size_t most_listed = 20;
  std::string known;
  for (std::size_t i = 0; i < std::min(camera.modes.size(), most_listed); ++i) {
    known += fmt::format("{}'{}'", i == 0 ? "" : ", ", camera.modes[i].name);
  }
  if (camera.modes.size() > most_listed) known += ", ...";
  if (name.empty()) {
    throw UsageError(
        fmt::format("'{}' has several modes; name one of {} with --mode", camera.name, known));
  }
  throw UsageError(fmt::format("'{}' has no mode called '{}'; it has {}", camera.name,
                               name.substr(0, 60), known));
}

}  // namespace lampbeat
