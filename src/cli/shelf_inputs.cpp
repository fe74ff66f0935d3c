#include "cli/shelf_inputs.hpp"

#include <fmt/format.h>
#include <unistd.h>

#include <algorithm>
#include <array>
#include <filesystem>
#include <fstream>
#include <iostream>
#include <map>
#include <string_view>

#include "files/whole_file.hpp"
#include "lampbeat/error.hpp"
#include "lampbeat/light_profile.hpp"
#include "lampbeat/measurement_line.hpp"
#include "lampbeat/shelf_file.hpp"

namespace lampbeat::cli {

namespace {

namespace fs = std::filesystem;

/// In a folder the name decides what is looked at; a file named by the person is always opened.
bool has_known_ending(const fs::path& path) {
  constexpr std::array<std::string_view, 20> endings = {
      ".wav", ".rf64", ".w64",   ".aif",    ".aiff", ".caf", ".flac", ".csv", ".tsv",  ".txt",
      ".dat", ".json", ".jsonl", ".ndjson", ".wave", ".m4a", ".mp3",  ".ogg", ".opus", ".aac"};
  std::string ending = path.extension().string();
  std::transform(ending.begin(), ending.end(), ending.begin(),
                 [](unsigned char c) { return static_cast<char>(std::tolower(c)); });
  return std::find(endings.begin(), endings.end(), ending) != endings.end();
}

std::string head_of(const std::string& path) {
  constexpr std::size_t enough = 256;  // the "schema" stands first
  return files::front_of_file(path, enough);
}

/// JSON written over many lines is some other document: a camera, a saved light.
bool is_one_document(const std::string& head) {
  const std::size_t brace = head.find('{');
  const std::size_t next = head.find_first_not_of(" \t\r", brace + 1);
  return next != std::string::npos && head[next] == '\n';
}

bool is_saved_light(const std::string& path) {
  return head_of(path).find("\"lampbeat.light/") != std::string::npos && is_light_profile(path);
}

/// In a folder, cameras beside the captures are passed over, and so are lights that were saved of
/// captures which lie beside them.
bool is_passed_over(const fs::path& path) {
  const std::string head = head_of(path.string());
  if (!is_json_line(head) || head.find("lampbeat.measure/") != std::string::npos) return false;
  if (!is_saved_light(path.string())) return true;
  constexpr std::string_view measured = "measured from ";
  const std::string source = read_light_profile(path.string()).source;
  if (source.rfind(measured, 0) != 0) return false;
  std::error_code failed;
  const fs::path capture = path.parent_path() / fs::path(source.substr(measured.size())).filename();
  return fs::exists(capture, failed);
}

void read_lines(std::istream& stream, const std::string& name, const std::string& file,
                std::vector<ToRate>& found) {
  std::string line;
  for (std::size_t number = 1; std::getline(stream, line); ++number) {
    if (line.find_first_not_of(" \t\r") == std::string::npos) continue;
    ToRate item;
    item.entry.capture = fmt::format("{}, line {}", name, number);
    item.line = line;
    item.file = file;
    found.push_back(std::move(item));
  }
}

std::vector<std::string> captures_in(const std::string& folder) {
  std::vector<std::string> paths;
  std::error_code failed;
  for (const auto& entry : fs::directory_iterator(folder, failed)) {
    const std::string name = entry.path().filename().string();
    std::error_code ignored;
    if (name.rfind('.', 0) == 0 || !entry.is_regular_file(ignored)) continue;
    if (!has_known_ending(entry.path()) || is_shelf(entry.path().string())) continue;
    if (is_passed_over(entry.path())) continue;
    paths.push_back(entry.path().string());
  }
  if (failed) throw InputError(fmt::format("{}: cannot be listed: {}", folder, failed.message()));
  if (paths.empty()) {
    throw InputError(
        folder +
        ": no captures in this folder (WAV, RF64, W64, AIFF, CAF, FLAC, CSV, TSV, TXT, "
        "lights saved by 'lampbeat measure' or 'footage', or lines of 'lampbeat measure --json')");
  }
  std::sort(paths.begin(), paths.end());
  return paths;
}

void add_file(const std::string& path, std::vector<ToRate>& found) {
  const std::string head = head_of(path);
  if (!is_json_line(head) || is_one_document(head)) {
    ToRate item;
    item.entry.capture = path;
    item.file = path;
    item.saved = is_saved_light(path);
    found.push_back(std::move(item));
    return;
  }
  std::ifstream file(path, std::ios::binary);
  read_lines(file, path, path, found);
}

void add_standard_input(std::vector<ToRate>& found) {
  if (isatty(STDIN_FILENO)) {
    throw UsageError(
        "'-' reads lines of 'lampbeat measure --json' from a pipe, and nothing is piped in");
  }
  read_lines(std::cin, "standard input", "-", found);
}

/// The capture a JSON line speaks of; its place in the file when it does not say.
std::string capture_named_in(const ToRate& item) {
  try {
    const std::string named = read_measurement_line(item.line).capture;
    return named.empty() ? item.entry.capture : named;
  } catch (const InputError&) {
    return item.entry.capture;  // reported when it is rated
  }
}

void name_fixtures(std::vector<ToRate>& items) {
  std::map<std::string, int> users;
  std::vector<std::string> captures;
  for (const ToRate& item : items) {
    captures.push_back(item.line.empty() ? item.entry.capture : capture_named_in(item));
    if (item.entry.fixture.empty()) ++users[fs::path(captures.back()).stem().string()];
  }
  for (std::size_t i = 0; i < items.size(); ++i) {
    if (!items[i].entry.fixture.empty()) continue;
    const std::string stem = fs::path(captures[i]).stem().string();
    items[i].entry.fixture = users[stem] == 1 && !stem.empty() ? stem : captures[i];
  }
}

}  // namespace

std::vector<ToRate> gather_inputs(const std::vector<std::string>& inputs) {
  std::vector<ToRate> found;
  for (const std::string& input : inputs) {
    std::error_code failed;
    if (input == "-") {
      add_standard_input(found);
    } else if (fs::is_directory(input, failed)) {
      for (const std::string& path : captures_in(input)) add_file(path, found);
    } else if (is_shelf(input)) {
      for (ShelfEntry& entry : read_shelf(input)) {
        std::string capture = entry.capture;
        const bool saved = is_saved_light(capture);
        found.push_back({std::move(entry), {}, std::move(capture), saved});
      }
    } else {
      const std::size_t before = found.size();
      add_file(input, found);
      if (found.size() == before + 1) found.back().named = found.back().line.empty();
    }
  }
  if (found.empty()) throw InputError("nothing to rate: the input holds no line");
  name_fixtures(found);
  return found;
}

}  // namespace lampbeat::cli
