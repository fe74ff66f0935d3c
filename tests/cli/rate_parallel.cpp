#include <cstdlib>
#include <nlohmann/json.hpp>

#include "cli/rate_shell.hpp"
#include "support/catch.hpp"

using nlohmann::json;
using namespace rate_shell;

TEST_CASE("lines measured by many processes under GNU parallel rank as one run ranks the captures") {
  if (run("command -v parallel").status != 0) {
    if (std::getenv("CI")) FAIL("GNU parallel is not installed (apt install parallel)");
    WARN("skipped: GNU parallel is not installed (apt install parallel)");
    return;
  }
  const auto folder = fresh_folder("rate_parallel");
  for (int i = 0; i < 8; ++i) {
    make_capture(folder / ("lamp " + std::to_string(i) + ".wav"), 4.0 * i + 2.0);
  }
  const Ran measured =
      run("cd '" + folder.string() + "' && parallel --will-cite -j4 \"'" LAMPBEAT_PROGRAM
          "' measure --json {}\" ::: *.wav 2>/dev/null >lines.jsonl; '" LAMPBEAT_PROGRAM
          "' rate --json lines.jsonl; '" LAMPBEAT_PROGRAM "' rate --json - <lines.jsonl");
  const std::size_t cut = measured.out.find('\n');
  REQUIRE(cut != std::string::npos);
  const json from_file = json::parse(measured.out.substr(0, cut));
  const json from_pipe = json::parse(measured.out.substr(cut + 1));
  const Ran direct = run("cd '" + folder.string() + "' && '" LAMPBEAT_PROGRAM "' rate --json *.wav");
  const json at_once = json::parse(direct.out);
  CHECK(from_file["fixtures"].size() == 8);
  CHECK(from_file["fixtures"] == at_once["fixtures"]);
  CHECK(from_pipe["fixtures"] == at_once["fixtures"]);
}

TEST_CASE("a line cut off on its way is reported and the others are ranked") {
  const auto folder = fresh_folder("rate_cut_line");
  make_capture(folder / "a.wav", 10);
  const Ran ran = run("cd '" + folder.string() + "' && '" LAMPBEAT_PROGRAM
                      "' measure --json a.wav >l.jsonl && echo '{\"schema\": \"lampb' >>l.jsonl; '" LAMPBEAT_PROGRAM
                      "' rate --json l.jsonl 2>/dev/null");
  CHECK(ran.status == 3);
  const json document = json::parse(ran.out);
  CHECK(document["fixtures"].size() == 1);
  CHECK(document["failed"][0]["capture"] == "l.jsonl, line 2");
}
