#include <fmt/format.h>

#include <filesystem>
#include <nlohmann/json.hpp>

#include "cli/contract.hpp"

// The map and the page of a room, from the command line.

using namespace lampbeat::test;

namespace {

const std::string shot = " --fps 25 --shutter 1/50 --readout 16ms";

std::string example_room_in(const ScratchFolder& folder) {
  const std::string room = folder.file("room.json");
  REQUIRE(run_lampbeat("room --example > " + room).exit_code == 0);
  return room;
}

}  // namespace

TEST_CASE("room draws the map as PNG and writes the page, each figure as its JSON has it") {
  const ScratchFolder folder("room-drawn");
  const std::string room = example_room_in(folder);
  const std::string map = folder.file("map.png");
  const std::string page = folder.file("page.html");
  const RunResult run =
      run_lampbeat("room " + room + shot + " --json --map " + map + " --report " + page);
  INFO(run.err);
  REQUIRE(run.exit_code == 0);
  CHECK(contents_of(map).substr(0, 8) == "\x89PNG\r\n\x1a\n");
  const std::string html = contents_of(page);
  CHECK(mentions(html, "demonstration table"));
  const auto document = nlohmann::json::parse(run.out);
  std::size_t cells = 0;
  for (const auto& row : document["map"]["verdict"]) cells += row.size();
  std::size_t drawn = 0;
  const std::size_t start = html.find("id=\"room-map-title\"");
  const std::string svg = html.substr(start, html.find("</svg>", start) - start);
  for (std::size_t at = svg.find("class=\"cell cell-"); at != std::string::npos;
       at = svg.find("class=\"cell cell-", at + 1)) {
    ++drawn;
  }
  CHECK(drawn >= cells + 4);  // and the swatches of the legend
  CHECK(drawn <= cells + 5);
  for (const auto& place : document["places"]) {
    CHECK(mentions(html, "value=\"" + fmt::format("{}", place["visibility"].get<double>()) + "\""));
  }
}

TEST_CASE("room refuses to draw over its room file, a profile of it, or another output") {
  const ScratchFolder folder("room-over");
  const std::string room = example_room_in(folder);
  const std::string text = contents_of(room);
  for (const std::string& option :
       {"--map " + room, "--report " + room,
        "--map " + folder.file("x") + " --report " + folder.file("x")}) {
    CHECK(run_lampbeat("room " + room + shot + " " + option).exit_code == 2);
  }
  CHECK(contents_of(room) == text);
  CHECK_FALSE(std::filesystem::exists(folder.file("x")));
  const std::string capture = folder.file("a.wav");
  const std::string profile = folder.file("lamp.json");
  REQUIRE(run_lampbeat("synth " + capture + " --mains 60 --typical led-rippled --seconds 1")
              .exit_code == 0);
  REQUIRE(run_lampbeat("measure " + capture + " --save " + profile).exit_code == 0);
  auto document = nlohmann::json::parse(text);
  document["fixtures"][0].erase("typical");
  document["fixtures"][0]["profile"] = "lamp.json";
  write_file(room, document.dump());
  const std::string kept = contents_of(profile);
  const RunResult over_profile = run_lampbeat("room " + room + shot + " --map " + profile);
  CHECK(over_profile.exit_code == 2);
  CHECK_FALSE(mentions(over_profile.err, "read"));  // to know of the profile it read the room
  CHECK(contents_of(profile) == kept);
  CHECK(run_lampbeat("room " + room + shot + " --map /nonexistent/x.png").exit_code == 4);
}
