#include <unistd.h>

#include <cstdio>
#include <fstream>
#include <string>
#include <vector>

#include "support/catch.hpp"
#include "support/places.hpp"
#include "support/run_program.hpp"

// What the README shows is what the program prints: every indented "$ lampbeat ..." line is run in
// the source folder, and its output has to stand below it, line by line.

namespace {

struct Shown {
  std::string command;
  std::string output;
};

std::vector<Shown> shown_in_readme() {
  std::ifstream file(places::sources() + "/README.md");
  std::vector<Shown> list;
  bool within = false;
  for (std::string line; std::getline(file, line);) {
    const bool indented = line.rfind("    ", 0) == 0;
    if (line.rfind("    $ lampbeat ", 0) == 0) {
      list.push_back({line.substr(15), ""});
      within = true;
    } else if (within && (indented || line.empty())) {
      list.back().output += (indented ? line.substr(4) : "") + "\n";
    } else {
      within = false;
    }
  }
  for (Shown& shown : list) {
    while (shown.output.size() > 1 && shown.output.substr(shown.output.size() - 2) == "\n\n") {
      shown.output.pop_back();
    }
    if (!shown.output.empty() && shown.output.front() == '\n') shown.output.erase(0, 1);
  }
  return list;
}

std::string run_in_source(const std::string& arguments, const std::string& scratch) {
  std::string moved = arguments;
  // The README saves beside itself; the test must not.
  for (std::size_t at = 0; (at = moved.find("worktop.json", at)) != std::string::npos;) {
    moved.replace(at, 12, scratch);
    at += scratch.size();
  }
  const std::string command = "cd '" + places::sources() + "' && LC_ALL=C.UTF-8 NO_COLOR=1 '" +
                              places::program() + "' " + moved + " 2>/dev/null";
  return lampbeat::test::run_command(command).out;
}

}  // namespace

TEST_CASE("the README shows what the program prints") {
  const auto shown = shown_in_readme();
  REQUIRE(shown.size() >= 2);
  const std::string scratch = places::scratch() + "/readme-" + std::to_string(::getpid()) + ".json";
  for (const Shown& s : shown) {
    INFO(s.command);
    CHECK(run_in_source(s.command, scratch) == s.output);
  }
  std::remove(scratch.c_str());
}
