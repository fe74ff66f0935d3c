#include <array>
#include <string>

#include "cli/readme_blocks.hpp"
#include "cli/recipe_folder.hpp"
#include "support/catch.hpp"
#include "support/skip.hpp"

// What the README tells people to type does what it says. Every block of shell lines is run, in
// order, beside a copy of the example captures.

using lampbeat::test::passed_over;
using lampbeat::test::RunResult;

namespace {

struct Elsewhere {
  const char* word;  ///< a block with it is not run here
  const char* why;
};

constexpr std::array elsewhere = {
    Elsewhere{"sh captures/demo.sh",
              "installs and builds; .ci/run runs it, and with it the tests "
              "and the installation named in the same block"},
    Elsewhere{"--target page", "needs em++; the tests of the page use what it made"},
    Elsewhere{"openssl", "serves until it is stopped"},
    Elsewhere{"sbatch", "needs a cluster; the test of rate under Slurm runs it on one of its own"},
};

/// What a block asks for that not every system has.
constexpr std::array programs = {"ffmpeg", "parallel"};

bool runs_elsewhere(const readme::Block& block) {
  for (const Elsewhere& other : elsewhere) {
    if (readme::mentions_any(block, other.word)) return true;
  }
  return false;
}

/// The clip a person would bring: the plain wall under the worktop's light, as a camera's file.
void make_clip(const recipes::RecipeFolder& folder) {
  const RunResult made = folder.run(
      "lampbeat synth wall-from-camera.y4m --mains 60 --rectified 45 --fps 25 --shutter 1/500 "
      "--rows 540 --readout 16ms --seconds 4\n"
      "ffmpeg -v error -i wall-from-camera.y4m -c:v libx264 -preset ultrafast -qp 4 clip.mp4\n");
  INFO(made.err);
  REQUIRE(made.exit_code == 0);
}

}  // namespace

TEST_CASE("the README's shell lines run as printed") {
  const recipes::RecipeFolder folder("readme_recipes");
  folder.copy_captures();
  int ran = 0;
  for (const readme::Block& block : readme::shell_blocks()) {
    if (runs_elsewhere(block)) continue;
    const std::string script = readme::as_script(block);
    INFO(script);
    bool possible = true;
    for (const char* program : programs) {
      if (!readme::mentions_any(block, program) || recipes::installed(program)) continue;
      passed_over(std::string(program) + " is not installed");
      possible = false;
    }
    if (!possible) continue;
    if (readme::mentions_any(block, "clip.mp4")) make_clip(folder);
    const RunResult result = folder.run(script);
    INFO(result.out << result.err);
    CHECK(result.exit_code == 0);
    ++ran;
  }
  CHECK(ran >= 5);
}

TEST_CASE("no exception from running the README is left over") {
  for (const Elsewhere& other : elsewhere) {
    INFO(other.word << ": " << other.why);
    bool found = false;
    for (const readme::Block& block : readme::shell_blocks()) {
      found = found || readme::mentions_any(block, other.word);
    }
    CHECK(found);
  }
}
