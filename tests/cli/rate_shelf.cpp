#include <nlohmann/json.hpp>
#include <thread>

#include "cli/rate_shell.hpp"
#include "support/catch.hpp"
#include "support/places.hpp"

using nlohmann::json;
using namespace lampbeat::test;
using namespace rate_shell;

namespace {

std::vector<std::string> fixtures(const json& document) {
  std::vector<std::string> names;
  for (const auto& f : document["fixtures"]) names.push_back(f["fixture"]);
  return names;
}

}  // namespace

TEST_CASE("a folder is rated best first and one unusable capture never stops the rest") {
  const ScratchFolder folder("rate_folder");
  make_capture(folder.file("deep.wav"), 60);
  make_capture(folder.file("faint.wav"), 0.02);
  make_capture(folder.file("middling.csv"), 20);
  make_capture(folder.file(".hidden.wav"), 20);
  std::ofstream(folder.file("broken.wav")) << "RIFF";
  std::ofstream(folder.file("readme.md")) << "not a capture";
  const RunResult ran = run_lampbeat("rate --json " + quoted(folder.path()));
  CHECK(ran.exit_code == 3);
  const json document = json::parse(ran.out);
  CHECK(document["schema"] == "lampbeat.rate/1");
  CHECK(fixtures(document) == std::vector<std::string>{"faint", "middling", "deep"});
  CHECK(document["fixtures"][0]["filming"] == "any shutter");
  CHECK(document["fixtures"][0]["shortest_clean_exposure_s"] == 0);
  CHECK(document["fixtures"][2]["percent_flicker"].get<double>() == Approx(60).margin(0.5));
  REQUIRE(document["failed"].size() == 1);
  CHECK(document["failed"][0]["fixture"] == "broken");
}

TEST_CASE("a shelf file names fixtures; the worst level decides and is named") {
  const ScratchFolder folder("rate_shelf");
  make_capture(folder.file("full.wav"), 3);
  make_capture(folder.file("dim.wav"), 50);
  make_capture(folder.file("panel.wav"), 20);
  std::ofstream(folder.file("shelf.csv")) << "fixture,capture,level,notes\n"
                                             "pendant,full.wav,full,\n"
                                             "pendant,dim.wav,20 %,=SUM(A1)\n"
                                             "panel,panel.wav,,\n"
                                             "tube,missing.wav,,\n";
  const auto csv = folder.file("out.csv");
  const auto page = folder.file("out.html");
  const RunResult ran = run_lampbeat("rate --json '" + folder.file("shelf.csv") + "' --csv '" +
                                     csv + "' --report '" + page + "'");
  CHECK(ran.exit_code == 3);
  const json document = json::parse(ran.out);
  REQUIRE(fixtures(document) == std::vector<std::string>{"panel", "pendant"});
  CHECK(document["fixtures"][1]["level"] == "20 %");
  CHECK(document["fixtures"][1]["captures"] == 2);
  CHECK(document["failed"][0]["fixture"] == "tube");
  CHECK(contents_of(csv).find("'=SUM(A1)") != std::string::npos);
  CHECK(contents_of(page).find("<!DOCTYPE html>") == 0);
}

TEST_CASE("results are identical whatever the number of jobs") {
  const ScratchFolder folder("rate_jobs");
  for (int i = 0; i < 9; ++i) {
    make_capture(folder.file("lamp" + std::to_string(i) + ".wav"), 5.0 * (i % 4) + 1.0);
  }
  const std::string one = run_lampbeat("rate --json --jobs 1 " + quoted(folder.path())).out;
  CHECK(json::parse(one)["fixtures"].size() == 9);
  for (const char* jobs : {"2", "3", "16"}) {
    CHECK(
        run_lampbeat("rate --json --jobs " + std::string(jobs) + " " + quoted(folder.path())).out ==
        one);
  }
}

TEST_CASE("a limit that any fixture exceeds gives exit code 1") {
  const ScratchFolder folder("rate_limit");
  make_capture(folder.file("a.wav"), 10);
  make_capture(folder.file("b.wav"), 30);
  CHECK(run_lampbeat("rate --limit 40 " + quoted(folder.path())).exit_code == 0);
  CHECK(run_lampbeat("rate --limit 20 " + quoted(folder.path())).exit_code == 1);
}

TEST_CASE("an empty folder, a missing capture and a bad option say so with their exit codes") {
  const ScratchFolder folder("rate_nothing");
  CHECK(run_lampbeat("rate " + quoted(folder.path())).exit_code == 3);
  CHECK(run_lampbeat("rate '" + folder.file("none.wav") + "'").exit_code == 3);
  CHECK(run_lampbeat("rate").exit_code == 2);
  CHECK(run_lampbeat("rate --readout soon x.wav").exit_code == 2);
  make_capture(folder.file("a.wav"), 10);
  CHECK(run_lampbeat("rate " + quoted(folder.path()) + " --csv /nowhere/at/all.csv").exit_code ==
        4);
}

TEST_CASE("a table that names fixtures without the headings for it is told which they are") {
  const ScratchFolder folder("rate_list");
  std::ofstream(folder.file("list.csv")) << "name,file\npanel,panel.wav\nstrip,strip.wav\n";
  const RunResult run = run_lampbeat("rate --json " + folder.file("list.csv"));
  INFO(run.err);
  CHECK(run.exit_code == 3);
  CHECK(run.err.find("a list of fixtures needs the headings fixture,capture") != std::string::npos);
  const RunResult missing = run_lampbeat("rate --json " + folder.file("none.csv"));
  CHECK(missing.err.find("headings") == std::string::npos);
}

TEST_CASE("Ctrl-C leaves what was done and lists the rest as interrupted") {
  const ScratchFolder folder("rate_interrupted");
  make_capture(folder.file("a.wav"), 10);
  for (int i = 0; i < 400; ++i) {
    std::filesystem::create_symlink("a.wav", folder.file("z" + std::to_string(i) + ".wav"));
  }
  // `sh -c 'exec ...'` makes the shell's process the program itself, so that it can be signalled.
  const std::string out = folder.path() + ".json";
  const RunResult ran =
      run_command("'" + places::program() + "' rate --json --jobs 1 " + quoted(folder.path()) +
                  " >'" + out + "' 2>/dev/null & p=$!; sleep 0.15; kill -INT $p; wait $p; echo $?");
  const json document = json::parse(contents_of(out));
  const std::size_t done = document["fixtures"].size();
  const std::size_t left = document["failed"].size();
  CHECK(done + left == 401);
  if (left > 0) {
    CHECK(ran.out == "130\n");
    CHECK(document["failed"][0]["reason"].get<std::string>().find("interrupted") == 0);
  } else {
    CHECK((ran.out == "130\n" || ran.out == "0\n"));  // a machine so fast that all was done
  }
}

TEST_CASE("a shelf is classed at the frame rates asked for, and says at which") {
  const ScratchFolder folder("rate_fps");
  make_capture(folder.file("shallow.wav"), 0.5);
  make_capture(folder.file("deep.wav"), 80);
  const std::string rate = "cd '" + folder.path() + "' && '" + places::program() + "' rate --json ";
  const json usual = json::parse(run_command(rate + "*.wav").out);
  CHECK(usual["fps"].size() == 8);
  CHECK(usual["fixtures"][0]["fixture"] == "shallow");
  CHECK(usual["fixtures"][0]["clean_stops"] > usual["fixtures"][1]["clean_stops"]);
  const json asked = json::parse(run_command(rate + "--fps 50,25 *.wav").out);
  CHECK(asked["fps"] == json::array({25.0, 50.0}));
  CHECK(asked["fixtures"][1]["clean_180_fps"].size() <= 2);

  const RunResult table =
      run_command(rate + "--fps 60 *.wav --csv shelf.csv >/dev/null && cat shelf.csv");
  CHECK(table.out.find(",clean_stops,highest_clean_fps,clean_180_fps,") != std::string::npos);
  CHECK(table.out.find(",60,60,1,") != std::string::npos);

  const RunResult too_slow = run_command(rate + "--fps 25,60 --readout 30ms *.wav");
  CHECK(too_slow.exit_code == 2);
  CHECK(too_slow.err.find("60 fps") != std::string::npos);
  CHECK(run_command(rate + "--fps fast *.wav").exit_code == 2);
}
