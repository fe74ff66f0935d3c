// The house as DEVELOPERS.md tells it. That modules keep to the flow is seen to by the build.

#include <filesystem>
#include <fstream>
#include <map>
#include <regex>
#include <set>
#include <sstream>
#include <string>
#include <vector>

#include "support/catch.hpp"
#include "support/places.hpp"

namespace {

namespace fs = std::filesystem;

const fs::path source_dir = places::sources();

std::string text_of(const fs::path& path) {
  std::ifstream file(path);
  std::ostringstream text;
  text << file.rdbuf();
  return text.str();
}

bool is_code(const fs::path& path) {
  return path.extension() == ".cpp" || path.extension() == ".hpp";
}

/// Which rooms of a module each of its rooms includes headers of.
std::map<std::string, std::set<std::string>> arrows_within(const std::string& module) {
  const fs::path folder = source_dir / "src" / module;
  const std::regex include("#include \"" + module + "/([a-z_]+)/");
  std::map<std::string, std::set<std::string>> arrows;
  for (const auto& entry : fs::recursive_directory_iterator(folder)) {
    if (!is_code(entry.path())) continue;
    const fs::path inside = entry.path().lexically_relative(folder);
    if (inside.parent_path().empty()) continue;
    const std::string room = inside.begin()->string();
    const std::string text = text_of(entry.path());
    for (std::sregex_iterator i(text.begin(), text.end(), include), end; i != end; ++i) {
      if ((*i)[1] != room) arrows[room].insert((*i)[1]);
    }
  }
  return arrows;
}

std::set<std::string> reached_from(const std::string& room,
                                   const std::map<std::string, std::set<std::string>>& arrows) {
  std::set<std::string> reached;
  std::vector<std::string> open = {room};
  while (!open.empty()) {
    const auto next = arrows.find(open.back());
    open.pop_back();
    if (next == arrows.end()) continue;
    for (const std::string& to : next->second) {
      if (reached.insert(to).second) open.push_back(to);
    }
  }
  return reached;
}

}  // namespace

TEST_CASE("the rooms of a module depend on each other one way") {
  for (const char* module : {"capture", "signal", "reasoning", "footage", "report"}) {
    const auto arrows = arrows_within(module);
    for (const auto& [room, to] : arrows) {
      CAPTURE(module, room);
      CHECK_FALSE(reached_from(room, arrows).contains(room));
    }
  }
  CHECK(arrows_within("signal").at("cycle").contains("tones"));  // the scan sees arrows at all
}

TEST_CASE("lampbeat.hpp includes every public header") {
  const std::string all = text_of(source_dir / "include/lampbeat/lampbeat.hpp");
  int headers = 0;
  for (const auto& entry : fs::directory_iterator(source_dir / "include/lampbeat")) {
    const std::string name = entry.path().filename().string();
    if (name == "lampbeat.hpp") continue;
    ++headers;
    CAPTURE(name);
    CHECK(all.find("#include \"lampbeat/" + name + "\"") != std::string::npos);
  }
  CHECK(headers > 30);
}

TEST_CASE("a folder is a namespace") {
  const std::regex opened("\nnamespace lampbeat::([a-z_:]+) \\{\n");
  for (const auto& entry : fs::recursive_directory_iterator(source_dir / "src")) {
    if (entry.path().extension() != ".hpp") continue;
    const fs::path folder = entry.path().parent_path().lexically_relative(source_dir / "src");
    std::string expected;
    for (const fs::path& part : folder) expected += (expected.empty() ? "" : "::") + part.string();
    const std::string text = text_of(entry.path());
    CAPTURE(entry.path());
    std::smatch found;
    REQUIRE(std::regex_search(text, found, opened));
    CHECK(found[1].str().starts_with(expected));
  }
}
