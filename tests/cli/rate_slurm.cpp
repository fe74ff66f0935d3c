#include <fmt/format.h>

#include <algorithm>
#include <fstream>
#include <nlohmann/json.hpp>
#include <regex>
#include <string>

#include "cli/readme_blocks.hpp"
#include "cli/recipe_folder.hpp"
#include "support/catch.hpp"
#include "support/draws.hpp"
#include "support/places.hpp"
#include "support/skip.hpp"

// The README's array job, on a cluster of one node that lives as long as the test.

using lampbeat::test::contents_of;
using lampbeat::test::passed_over;
using lampbeat::test::RunResult;
using nlohmann::json;

namespace {

/// The README's lines, for so many captures instead of 200.
std::vector<std::string> array_job(int captures) {
  for (const readme::Block& block : readme::shell_blocks()) {
    if (!readme::mentions_any(block, "sbatch")) continue;
    std::vector<std::string> lines;
    for (const std::string& line : block) {
      lines.push_back(std::regex_replace(line, std::regex("\\b200\\b"), std::to_string(captures)));
    }
    return lines;
  }
  return {};
}

constexpr int never_ends = 17;  // the task the README runs again

/// The array as the README has it; but one of its tasks finds a recording that never begins, is
/// killed, and is run again once its capture is there.
std::string killed_and_run_again(const std::vector<std::string>& lines) {
  const auto to_json = [&](std::size_t i) {
    return std::regex_replace(lines[i], std::regex("lampbeat rate"), "lampbeat rate --json");
  };
  const std::string capture = fmt::format("captures/lamp-{:03}.wav", never_ends);
  const std::string until_done = "while squeue -h | grep -q .; do sleep 0.3; done\n";
  return lines[0] + "\n" + lines[1] + "\n" + lines[2] + "\n" +  //
         "mv " + capture + " aside.wav; mkfifo " + capture + "\n" + lines[3] + "\n" +
         "while [ $(squeue -h -r | wc -l) -gt 1 ]; do sleep 0.3; done\n" +
         fmt::format("scancel $(squeue -h -r -o %i | grep _{})\n", never_ends) + until_done +
         "rm " + capture + "; mv aside.wav " + capture + "\n" +  //
         to_json(4) + " >without.json 2>without.err; echo $? >without.code\n" + lines[5] + "\n" +
         until_done + to_json(4) + " >array.json 2>array.err; echo $? >array.code\n" +
         "lampbeat rate --json $(cat list.txt) >alone.json 2>alone.err\n";
}

std::string synthesised(int captures) {
  std::string script = "mkdir captures\n";
  for (int i = 1; i <= captures; ++i) {
    script += fmt::format(
        "lampbeat synth captures/lamp-{:03}.wav --mains 60 --component 120:{:.2f} --seconds 0.5 "
        "--rate 8000 --noise 0.1 --seed {} 2>/dev/null\n",
        i, 0.3 * i, i);
  }
  return script;
}

}  // namespace

TEST_CASE("captures measured as a Slurm array rank as one machine ranks them") {
  constexpr int fewest = never_ends + 3;
  const int captures = std::max(fewest, lampbeat::test::draws(200));
  const recipes::RecipeFolder folder("rate_slurm");
  const std::vector<std::string> lines = array_job(captures);
  REQUIRE(lines.size() == 6);
  REQUIRE(folder.run(synthesised(captures)).exit_code == 0);
  std::ofstream(folder.path() + "/array.sh") << killed_and_run_again(lines);
  // Sockets have short names, and munge insists on folders nobody else may write to.
  const RunResult ran = folder.run(
      "cluster=$(mktemp -d /tmp/lampbeat-slurm.XXXXXX)\n"
      "code=0\n"
      "timeout -k 20 400 sh '" +
      places::sources() +
      "/tests/cli/one_node_slurm.sh' \"$cluster\" sh array.sh || code=$?\n"
      "rm -rf \"$cluster\"\n"
      "exit $code\n");
  constexpr int not_installed = 77;
  constexpr int not_permitted = 78;
  if (ran.exit_code == not_installed) return passed_over(ran.out);
  if (ran.exit_code == not_permitted) {
    WARN("skipped: " << ran.out);
    return;
  }
  INFO(ran.out << ran.err);
  REQUIRE(ran.exit_code == 0);
  const auto written = [&](const char* name) { return contents_of(folder.path() + "/" + name); };

  CHECK(written("without.code") == "3\n");
  const json without = json::parse(written("without.json"));
  CHECK(without["fixtures"].size() == static_cast<std::size_t>(captures) - 1);
  REQUIRE(without["failed"].size() == 1);
  CHECK(without["failed"][0]["capture"] == fmt::format("lines/{}.json", never_ends));

  CHECK(written("array.code") == "0\n");
  CHECK(json::parse(written("array.json"))["fixtures"].size() ==
        static_cast<std::size_t>(captures));
  CHECK(written("array.json") == written("alone.json"));
}
