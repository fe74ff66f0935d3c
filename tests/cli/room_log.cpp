#include <sys/stat.h>
#include <unistd.h>

#include <filesystem>
#include <set>
#include <string>

#include "cli/contract.hpp"
#include "support/places.hpp"

// The room's log: one dated line for each measurement, whole or not at all.

using namespace lampbeat::test;

namespace {

void make(const std::string& path, const std::string& percent, int seed = 1,
          const std::string& more = "") {
  REQUIRE(run_lampbeat("synth '" + path + "' --mains 50 --component 100:" + percent +
                       " --noise 0.3 --rate 8000 --seconds 1 --seed " + std::to_string(seed) + " " +
                       more)
              .exit_code == 0);
}

}  // namespace

TEST_CASE("a log's line is the measurement's own, dated and named") {
  const ScratchFolder folder("log-line");
  make(folder.file("panel.wav"), "20");
  const std::string log = folder.file("room.jsonl");
  const RunResult ran = run_lampbeat("measure --json '" + folder.file("panel.wav") + "' --log '" +
                                     log + "' --fixture 'worktop panel'");
  REQUIRE(ran.exit_code == 0);
  auto lines = json_lines(contents_of(log));
  REQUIRE(lines.size() == 1);
  CHECK(lines[0].at("fixture") == "worktop panel");
  const std::string at = lines[0].at("at");
  CHECK(at.size() == std::string("2026-11-30T18:30:00Z").size());
  CHECK(at.back() == 'Z');
  CHECK(lines[0].at("set_up").at("sensor_corner_hz").is_null());
  lines[0].erase("fixture");
  lines[0].erase("at");
  CHECK(lines[0] == json_lines(ran.out).front());

  // What reads measurements reads a log.
  CHECK(run_lampbeat("rate '" + log + "'").exit_code == 0);
  // Without a name the file gives one; several are each named by their own.
  make(folder.file("hood.wav"), "5");
  CHECK(run_lampbeat("measure '" + folder.file("panel.wav") + "' '" + folder.file("hood.wav") +
                     "' --log '" + log + "' --taken 2026-11-01")
            .exit_code == 0);
  lines = json_lines(contents_of(log));
  REQUIRE(lines.size() == 3);
  CHECK(lines[1].at("fixture") == "panel");
  CHECK(lines[2].at("fixture") == "hood");
  CHECK(lines[2].at("at") == "2026-11-01T00:00:00Z");
}

TEST_CASE("a file that is no log is not grown by one") {
  const ScratchFolder folder("log-slip");
  make(folder.file("panel.wav"), "20");
  make(folder.file("hood.wav"), "5");
  const std::string capture = folder.file("hood.wav");
  const std::string room = folder.file("kitchen.json");
  REQUIRE(run_lampbeat("room --example >'" + room + "'").exit_code == 0);
  for (const std::string& other : {capture, room}) {
    CAPTURE(other);
    const std::string before = contents_of(other);
    const RunResult ran =
        run_lampbeat("measure '" + folder.file("panel.wav") + "' --log '" + other + "'");
    CHECK(ran.exit_code == 4);
    CHECK(mentions(ran.err, "is no room's log"));
    CHECK(contents_of(other) == before);
  }
  // One that a power failure cut off in its first line is one all the same, and read.
  const std::string log = folder.file("room.jsonl");
  write_file(log, R"({"schema":"lampbeat.meas)");
  const std::string measure = "measure '" + folder.file("panel.wav") + "' --log '" + log + "'";
  REQUIRE(run_lampbeat(measure).exit_code == 0);
  REQUIRE(run_lampbeat(measure).exit_code == 0);
  const RunResult ran = run_lampbeat("compare --json '" + log + "'");
  CHECK(ran.exit_code == 0);
  CHECK(mentions(ran.err, "line 1: left out"));
  std::string damaged = contents_of(log);
  damaged.replace(0, 4, std::string(4, '\0'));
  write_file(log, damaged);
  CHECK(run_lampbeat("compare '" + log + "'").exit_code == 0);
}

TEST_CASE("a clip is logged as a capture is, with what was said beside it") {
  const ScratchFolder folder("log-clip");
  const std::string log = folder.file("room.jsonl");
  REQUIRE(run_lampbeat("synth '" + folder.file("wall.y4m") +
                       "' --mains 60 --rectified 45 --fps 25 --shutter 1/500 --rows 240 "
                       "--columns 32 --readout 16ms --seconds 2")
              .exit_code == 0);
  CHECK(run_lampbeat("footage '" + folder.file("wall.y4m") + "' --light-hz 120 --log '" + log +
                     "' --fixture wall")
            .exit_code == 0);
  const auto lines = json_lines(contents_of(log));
  REQUIRE(lines.size() == 1);
  CHECK(lines[0].at("schema") == "lampbeat.footage/1");
  CHECK(lines[0].at("set_up").at("light_hz") == 120.0);
  CHECK(lines[0].at("fixture") == "wall");
}

TEST_CASE("eight measurements at once leave eight lines") {
  const ScratchFolder folder("log-at-once");
  const std::string log = folder.file("room.jsonl");
  make(folder.file("a.wav"), "20");
  std::string script;
  for (int i = 0; i < 8; ++i) {
    script += "'" + places::program() + "' measure '" + folder.file("a.wav") + "' --log '" + log +
              "' --fixture lamp" + std::to_string(i) + " & ";
  }
  REQUIRE(run_command(script + "wait").exit_code == 0);
  std::set<std::string> names;
  for (const Json& line : json_lines(contents_of(log))) names.insert(line.at("fixture"));
  CHECK(names.size() == 8);
  CHECK(line_count(contents_of(log)) == 8);
}

TEST_CASE("a log that cannot be written, or stands where an input does, is refused") {
  const ScratchFolder folder("log-refused");
  make(folder.file("a.wav"), "20");
  make(folder.file("b.wav"), "20");
  std::filesystem::create_directory(folder.file("other"));
  std::filesystem::copy(folder.file("a.wav"), folder.file("other/a.wav"));
  const std::string before = contents_of(folder.file("a.wav"));
  const auto exit_of = [&](const std::string& arguments) {
    const RunResult ran =
        run_command("cd '" + folder.path() + "' && '" + places::program() + "' " + arguments);
    INFO(arguments << "\n" << ran.err);
    CHECK(line_count(ran.err) >= 1);
    return ran.exit_code;
  };
  std::filesystem::create_symlink("a.wav", folder.file("link"));
  CHECK(exit_of("measure a.wav --log a.wav") == 2);
  CHECK(exit_of("measure a.wav --log link") == 2);
  CHECK(exit_of("measure a.wav --dark b.wav --log ./b.wav") == 2);
  CHECK(exit_of("measure a.wav --log room.jsonl --save room.jsonl") == 2);
  CHECK(exit_of("measure a.wav --fixture lamp") == 2);
  CHECK(exit_of("measure a.wav --taken 2026-11-01") == 2);
  CHECK(exit_of("measure a.wav --log room.jsonl --taken tomorrow") == 2);
  CHECK(exit_of("measure a.wav b.wav --log room.jsonl --fixture lamp") == 2);
  CHECK(exit_of("measure a.wav other/a.wav --log room.jsonl") == 2);
  CHECK(exit_of("measure - --log room.jsonl") == 2);
  CHECK(exit_of("measure a.wav --log none/room.jsonl") == 4);
  CHECK(exit_of("measure a.wav --log other") == 4);
  CHECK_FALSE(std::filesystem::exists(folder.file("room.jsonl")));
  CHECK(contents_of(folder.file("a.wav")) == before);
  // What root may write, anybody else may not.
  if (geteuid() != 0) {
    std::filesystem::create_directory(folder.file("closed"));
    chmod(folder.file("closed").c_str(), 0500);
    CHECK(exit_of("measure a.wav --log closed/room.jsonl") == 4);
  }
}
