#include "cli/contract.hpp"

// An output that is one of the inputs is refused before anything is read or written.

using namespace lampbeat::test;

namespace {

void require_refused(const std::string& arguments, const std::string& kept) {
  const std::string before = contents_of(kept);
  const RunResult run = run_lampbeat(arguments);
  INFO(arguments << "\n" << run.err);
  CHECK(run.exit_code == 2);
  CHECK(run.out.empty());
  CHECK(mentions(run.err, "is the same file as"));
  CHECK(contents_of(kept) == before);
}

/// The same file under every name it can be given.
std::vector<std::string> names_of(const ScratchFolder& folder, const std::string& name) {
  namespace fs = std::filesystem;
  const std::string path = folder.file(name);
  fs::create_symlink(path, folder.file("link-" + name));
  fs::create_hard_link(path, folder.file("hard-" + name));
  fs::create_directories(folder.file("sub"));
  return {path,
          folder.path() + "/./" + name,
          folder.path() + "/sub/../" + name,
          folder.file("link-" + name),
          folder.file("hard-" + name),
          fs::relative(path, fs::current_path()).string()};
}

}  // namespace

TEST_CASE("no command lets an output replace an input, by any name") {
  const ScratchFolder folder("over-input");
  const std::string wav = folder.file("w.wav");
  REQUIRE(run_lampbeat("synth " + wav + " --mains 50 --component 100:20 --seconds 1").exit_code ==
          0);
  REQUIRE(run_lampbeat("measure " + wav + " --save " + folder.file("l.json")).exit_code == 0);
  const std::string light = folder.file("l.json");
  for (const std::string& name : names_of(folder, "w.wav")) {
    require_refused("measure " + wav + " --save " + name, wav);
    require_refused("measure " + name + " --report " + wav, wav);
    require_refused("measure " + light + " --dark " + wav + " --save " + name, wav);
    require_refused("rate " + wav + " --csv " + name, wav);
  }
  require_refused("measure - --save " + wav + " < " + wav, wav);
  require_refused("measure " + wav + " --save /dev/fd/7 7<>" + wav, wav);
  for (const std::string& name : names_of(folder, "l.json")) {
    const std::string shot = " --fps 25 --light " + light;
    require_refused("predict --shutter 1/50 --picture " + name + shot + ":0.5", light);
    require_refused("shutters --report " + name + shot, light);
    require_refused("footage x.y4m --light " + light + " --shutter 1/50 --save " + name, light);
  }
}

TEST_CASE("rate guards its shelf, what the shelf names and what a folder holds") {
  const ScratchFolder folder("over-shelf");
  const std::string wav = folder.file("w.wav");
  const std::string shelf = folder.file("shelf.csv");
  REQUIRE(run_lampbeat("synth " + wav + " --mains 50 --component 100:20 --seconds 1").exit_code ==
          0);
  std::filesystem::copy_file(wav, folder.file("d.wav"));
  write_file(shelf, "fixture,capture,dark\nlamp,w.wav,d.wav\n");
  require_refused("rate " + shelf + " --csv " + shelf, shelf);
  require_refused("rate " + shelf + " --report " + wav, wav);
  require_refused("rate " + shelf + " --csv " + folder.file("d.wav"), folder.file("d.wav"));
  require_refused("rate " + folder.path() + " --csv " + wav, wav);
}

TEST_CASE("two outputs never share a file, and a table written before may be renewed") {
  const ScratchFolder folder("over-output");
  const std::string wav = folder.file("w.wav");
  REQUIRE(run_lampbeat("synth " + wav + " --mains 50 --component 100:20 --seconds 1").exit_code ==
          0);
  const std::string same = folder.file("out");
  require_refused("measure " + wav + " --save " + same + " --report " + folder.path() + "/./out",
                  same);
  for (int i = 0; i < 2; ++i) {
    CHECK(
        run_lampbeat("rate " + folder.path() + " --csv " + folder.file("ranking.csv")).exit_code ==
        0);
    CHECK(run_lampbeat("measure " + wav + " --save /dev/null --report /dev/null").exit_code == 0);
  }
}
