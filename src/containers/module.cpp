#include "containers/module.hpp"

#include <fmt/format.h>

#include <cstdlib>
#include <filesystem>
#include <optional>
#include <vector>

// A browser has no libraries to load.
#if !defined(__EMSCRIPTEN__)
#include <dlfcn.h>
#endif

namespace lampbeat::containers {

namespace {

struct Found {
  const Door* door = nullptr;
  std::string trouble;
};

#if defined(__EMSCRIPTEN__)

Found look() { return {nullptr, "a browser cannot load it"}; }

#else

namespace fs = std::filesystem;

constexpr const char* file_name = "lampbeat_containers.so";

std::vector<fs::path> places() {
  if (const char* named = std::getenv("LAMPBEAT_CONTAINERS"); named && *named) return {named};
  std::vector<fs::path> all;
  std::error_code unknown;
  const fs::path program = fs::read_symlink("/proc/self/exe", unknown);
  if (!unknown) {
    const fs::path folder = program.parent_path();
    all.push_back(folder / file_name);
    all.push_back(folder.parent_path() / LAMPBEAT_LIBRARY_FOLDER / "lampbeat" / file_name);
  }
  all.push_back(fs::path(LAMPBEAT_BUILT_IN) / file_name);
  all.push_back(fs::path(LAMPBEAT_INSTALLED_IN) / "lampbeat" / file_name);
  return all;
}

Found loaded(const fs::path& file) {
  void* library = dlopen(file.c_str(), RTLD_NOW | RTLD_LOCAL);
  if (!library) {
    const char* why = dlerror();
    return {nullptr, why ? why : "it cannot be loaded"};
  }
  void* symbol = dlsym(library, door_symbol);
  if (!symbol) return {nullptr, fmt::format("{} is no module of lampbeat", file.string())};
  const Door* door = reinterpret_cast<DoorFunction>(symbol)();
  if (!door || door->version != door_version) {
    return {nullptr, fmt::format("{} belongs to another version of lampbeat", file.string())};
  }
  return {door, {}};
}

Found look() {
  for (const fs::path& file : places()) {
    std::error_code ignored;
    if (fs::exists(file, ignored)) return loaded(file);
  }
  return {nullptr, fmt::format("there is no {}", file_name)};
}

#endif

const Found& found() {
  static const Found once = look();
  return once;
}

}  // namespace

const Door* module() { return found().door; }

std::string why_no_module() { return found().trouble; }

}  // namespace lampbeat::containers
