#include <algorithm>
#include <sstream>
#include <string>
#include <utility>
#include <vector>

#include "cli/recipe_folder.hpp"
#include "lampbeat/version.hpp"
#include "support/catch.hpp"
#include "support/run_program.hpp"
#include "support/skip.hpp"

// Help is for people who have not read the manual: each command shows how it is called and examples
// that work, and then what it cannot do without.

using namespace lampbeat::test;

namespace {

std::vector<std::string> lines_of(const std::string& text) {
  std::vector<std::string> lines;
  std::istringstream stream(text);
  for (std::string line; std::getline(stream, line);) lines.push_back(line);
  return lines;
}

/// As the help of the program lists them.
std::vector<std::string> commands() {
  std::vector<std::string> names;
  bool listed = false;
  for (const std::string& line : lines_of(run_lampbeat("--help").out)) {
    if (listed && line.empty()) break;
    if (listed) names.push_back(line.substr(2, line.find(' ', 2) - 2));
    listed = listed || line == "Subcommands:";
  }
  return names;
}

/// The examples of one command; one that goes on in the next line is one.
std::vector<std::string> examples(const std::string& command) {
  std::vector<std::string> found;
  bool within = false;
  bool goes_on = false;
  for (const std::string& line : lines_of(run_lampbeat(command + " --help").out)) {
    if (within && line.empty()) break;
    if (within) {
      const bool broken = line.back() == '\\';
      const std::string words = broken ? line.substr(0, line.size() - 1) : line;
      if (goes_on) {
        found.back() += words;
      } else {
        found.push_back(words);
      }
      goes_on = broken;
    }
    within = within || line == "Examples:";
  }
  return found;
}

bool possible(const std::string& example) {
  // It needs a microphone, or whatever else is plugged into the sound card.
  if (example.find("arecord") != std::string::npos) return false;
  if (example.find("ffmpeg") == std::string::npos || recipes::installed("ffmpeg")) return true;
  passed_over("ffmpeg is not installed");
  return false;
}

}  // namespace

TEST_CASE("every command's help has examples, and they run as printed") {
  const recipes::RecipeFolder folder("help_examples");
  folder.copy_captures();
  std::vector<std::string> all = commands();
  REQUIRE(all.size() >= 6);
  // Practice material first: the others' examples use it.
  std::stable_partition(all.begin(), all.end(),
                        [](const std::string& c) { return c == "synth" || c == "measure"; });
  bool clip_made = false;
  for (const std::string& command : all) {
    const std::vector<std::string> own = examples(command);
    INFO(command);
    CHECK(own.size() >= 2);
    for (const std::string& example : own) {
      if (!possible(example)) continue;
      if (!clip_made && example.find("clip.mp4") != std::string::npos) {
        clip_made = true;
        REQUIRE(
            folder.run("ffmpeg -v error -i wall.y4m -c:v libx264 -preset ultrafast -qp 4 clip.mp4")
                .exit_code == 0);
      }
      const RunResult result = folder.run(example + "\n");
      INFO(example << "\n" << result.out << result.err);
      CHECK(result.exit_code == 0);
    }
  }
}

TEST_CASE("help is given in every way people ask for it") {
  CHECK(run_lampbeat("help").out == run_lampbeat("--help").out);
  CHECK(run_lampbeat("help").exit_code == 0);
  for (const std::string& command : commands()) {
    INFO(command);
    const std::string help = run_lampbeat("help " + command).out;
    CHECK(help == run_lampbeat(command + " --help").out);
    CHECK(help == run_lampbeat(command + " -h").out);
    CHECK(help.find("Usage: lampbeat " + command) != std::string::npos);
    for (const std::string& line : lines_of(help)) CHECK(line.size() <= 104);  // bytes
  }
  const RunResult mistyped = run_lampbeat("help mesure");
  CHECK(mistyped.exit_code == 2);
  CHECK(mistyped.err.find("did you mean 'measure'") != std::string::npos);
  CHECK(run_lampbeat("-V").out == run_lampbeat("--version").out);
  CHECK(run_lampbeat("-V").out.find(lampbeat::version) != std::string::npos);
}

TEST_CASE("what a command cannot do without stands before its other options") {
  for (const auto& [command, needed] :
       {std::pair{"predict", std::vector<std::string>{"--light", "--fps", "--shutter"}},
        {"shutters", {"--light", "--fps"}}}) {
    const std::string help = run_lampbeat(std::string(command) + " --help").out;
    const std::size_t others = help.find("\nOptions:\n");
    REQUIRE(others != std::string::npos);
    for (const std::string& option : needed) {
      const std::size_t at = help.find("\n  " + option + " ");
      INFO(command << " " << option);
      CHECK(at < others);
    }
  }
}
