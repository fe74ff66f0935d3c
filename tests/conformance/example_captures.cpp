#include <filesystem>
#include <fstream>
#include <map>
#include <nlohmann/json.hpp>
#include <optional>
#include <regex>
#include <sstream>
#include <string>
#include <vector>

#include "support/catch.hpp"
#include "support/places.hpp"
#include "support/read_all.hpp"
#include "support/run_program.hpp"

using namespace lampbeat;

namespace {

const std::string captures = places::sources() + "/captures/";

/// The synth commands of a text, in order.
std::vector<std::string> commands_in(const std::string& text) {
  std::vector<std::string> commands;
  std::istringstream lines(text);
  for (std::string line; std::getline(lines, line);) {
    const auto start = line.find_first_not_of(' ');
    if (start == std::string::npos) continue;
    if (line.compare(start, 15, "lampbeat synth ") == 0) commands.push_back(line.substr(start));
  }
  return commands;
}

struct Expected {
  std::optional<double> percent_flicker, flicker_index, dominant_hz;
  std::string dark;
};

/// The manifest's table, by capture.
std::map<std::string, Expected> expected_figures() {
  const std::string text = test::contents_of(captures + "MANIFEST.md");
  const std::regex row(R"(\| `(\S+)` \| (\S+) \| (\S+) \| (\S+) \| (\S+) \|)");
  const auto number = [](const std::string& cell) {
    return cell == "-" ? std::nullopt : std::optional<double>(std::stod(cell));
  };
  std::map<std::string, Expected> figures;
  for (std::sregex_iterator i(text.begin(), text.end(), row), end; i != end; ++i) {
    figures[(*i)[1]] = {number((*i)[2]), number((*i)[3]), number((*i)[4]), (*i)[5]};
  }
  return figures;
}

}  // namespace

TEST_CASE("The example captures are made again byte for byte by their script") {
  const test::ScratchFolder folder("captures");
  const auto run =
      test::run_command("sh " + captures + "make.sh " + places::program() + " " + folder.path());
  REQUIRE(run.exit_code == 0);
  int compared = 0;
  for (const auto& made : std::filesystem::directory_iterator(folder.path())) {
    const std::string name = made.path().filename().string();
    CAPTURE(name);
    ++compared;
    if (made.path().extension() == ".flac") {  // encoders may pack the same samples differently
      CHECK(test::read_all(made.path().string()).value == test::read_all(captures + name).value);
    } else {
      CHECK((test::contents_of(made.path().string()) == test::contents_of(captures + name)));
    }
  }
  CHECK(compared == 10);
}

TEST_CASE("The manifest shows the commands the script runs") {
  const auto shown = commands_in(test::contents_of(captures + "MANIFEST.md"));
  CHECK(shown.size() == 10);
  CHECK(shown == commands_in(test::contents_of(captures + "make.sh")));
}

TEST_CASE("Every capture has expected figures, and the shelf names captures that exist") {
  const auto figures = expected_figures();
  CHECK(figures.size() == 9);
  for (const auto& [name, expected] : figures) CHECK(std::filesystem::exists(captures + name));
  std::istringstream shelf(test::contents_of(captures + "shelf.csv"));
  std::string line;
  std::getline(shelf, line);
  CHECK(line == "fixture,capture,dark,level,notes");
  int fixtures = 0;
  while (std::getline(shelf, line)) {
    std::istringstream cells(line);
    std::string fixture, capture;
    std::getline(cells, fixture, ',');
    std::getline(cells, capture, ',');
    CHECK(std::filesystem::exists(captures + capture));
    ++fixtures;
  }
  CHECK(fixtures == 7);
}

TEST_CASE("measure finds in the example captures what their descriptions say") {
  for (const auto& [name, expected] : expected_figures()) {
    CAPTURE(name);
    std::string dark;
    if (expected.dark == "0.01") dark = " --dark " + captures + "dark.wav";
    if (expected.dark == "3.072") dark = " --dark 3.072";
    const auto run = test::run_lampbeat("measure " + captures + name + dark + " --json");
    CAPTURE(run.err);
    REQUIRE(run.exit_code == 0);
    const auto figures = nlohmann::json::parse(run.out);
    // On 2 s with these sensors' noise; the uncertainty of the frequency is a few tenths of a mHz
    // for deep ripple and about 1 mHz for the shallow lights.
    REQUIRE(figures["dominant_hz"].is_number());
    CHECK(figures["dominant_hz"].get<double>() == Approx(*expected.dominant_hz).margin(0.004));
    if (expected.percent_flicker) {
      REQUIRE(figures["percent_flicker"].is_number());
      REQUIRE(figures["flicker_index"].is_number());
      CHECK(figures["percent_flicker"].get<double>() ==
            Approx(*expected.percent_flicker).margin(0.35));
      CHECK(figures["flicker_index"].get<double>() ==
            Approx(*expected.flicker_index).margin(0.004));
    } else {
      CHECK(figures["percent_flicker"].is_null());
      CHECK(figures["flicker_index"].is_null());
    }
  }
}
