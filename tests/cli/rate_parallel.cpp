#include <nlohmann/json.hpp>

#include "cli/rate_shell.hpp"
#include "cli/readme_blocks.hpp"
#include "cli/recipe_folder.hpp"
#include "support/catch.hpp"
#include "support/places.hpp"
#include "support/skip.hpp"

using nlohmann::json;
using namespace lampbeat::test;
using namespace rate_shell;

TEST_CASE(
    "lines measured by many processes under GNU parallel rank as one run ranks the captures") {
  if (run_command("command -v parallel").exit_code != 0) {
    return passed_over("GNU parallel is not installed (apt install parallel)");
  }
  const ScratchFolder folder("rate_parallel");
  for (int i = 0; i < 8; ++i) {
    make_capture(folder.file("lamp " + std::to_string(i) + ".wav"), 4.0 * i + 2.0);
  }
  const RunResult measured = run_command(
      "cd '" + folder.path() + "' && parallel --will-cite -j4 \"'" + places::program() +
      "' measure --json {}\" ::: *.wav 2>/dev/null >lines.jsonl; '" + places::program() +
      "' rate --json lines.jsonl; '" + places::program() + "' rate --json - <lines.jsonl");
  const std::size_t cut = measured.out.find('\n');
  REQUIRE(cut != std::string::npos);
  const json from_file = json::parse(measured.out.substr(0, cut));
  const json from_pipe = json::parse(measured.out.substr(cut + 1));
  const RunResult direct = run_command("cd " + quoted(folder.path()) + " && '" + places::program() +
                                       "' rate --json *.wav");
  const json at_once = json::parse(direct.out);
  CHECK(from_file["fixtures"].size() == 8);
  CHECK(from_file["fixtures"] == at_once["fixtures"]);
  CHECK(from_pipe["fixtures"] == at_once["fixtures"]);
}

TEST_CASE("a line cut off on its way is reported and the others are ranked") {
  const ScratchFolder folder("rate_cut_line");
  make_capture(folder.file("a.wav"), 10);
  const RunResult ran =
      run_command("cd '" + folder.path() + "' && '" + places::program() +
                  "' measure --json a.wav >l.jsonl && echo '{\"schema\": \"lampb' >>l.jsonl; '" +
                  places::program() + "' rate --json l.jsonl 2>/dev/null");
  CHECK(ran.exit_code == 3);
  const json document = json::parse(ran.out);
  CHECK(document["fixtures"].size() == 1);
  CHECK(document["failed"][0]["capture"] == "l.jsonl, line 2");
}

TEST_CASE("the example captures measured under GNU parallel rank as measured one by one") {
  if (!recipes::installed("parallel")) {
    return passed_over("GNU parallel is not installed (apt install parallel)");
  }
  const recipes::RecipeFolder folder("parallel_examples");
  folder.copy_captures();
  std::string recipe;
  for (const readme::Block& block : readme::shell_blocks()) {
    if (readme::mentions_any(block, "parallel")) recipe = readme::as_script(block);
  }
  REQUIRE(folder.run(recipe + "lampbeat rate --json lines.jsonl >parallel.json\n").exit_code == 0);
  // Each row of the shelf by itself: fixture, capture, dark level, ...
  const RunResult one_by_one = folder.run(
      "cd captures\n"
      "tail -n +2 shelf.csv | while IFS=, read -r fixture capture dark rest; do\n"
      "  lampbeat measure --json \"$capture\" --dark \"$dark\"\n"
      "done >../one-by-one.jsonl\n"
      "cd ..\n"
      "lampbeat rate --json one-by-one.jsonl >one-by-one.json\n"
      "cmp lines.jsonl one-by-one.jsonl && cmp parallel.json one-by-one.json\n");
  INFO(one_by_one.out << one_by_one.err);
  CHECK(one_by_one.exit_code == 0);
  CHECK(json::parse(contents_of(folder.path() + "/parallel.json"))["fixtures"].size() == 7);
}
