#include "cli/contract.hpp"
#include "support/places.hpp"

// What cannot be written ends with 4, and what stood there before stays as it was.

using namespace lampbeat::test;

namespace {

void require_unwritten(const std::string& arguments) {
  const RunResult run = run_lampbeat(arguments);
  INFO(arguments << "\n" << run.err);
  CHECK(run.exit_code == 4);
  CHECK(mentions(run.err, "cannot"));
}

}  // namespace

TEST_CASE("outputs in no folder, on a full disk or in a folder's place end with 4") {
  const ScratchFolder folder("outputs");
  REQUIRE(run_lampbeat("synth " + folder.file("a.wav") + " --mains 50 --seconds 1").exit_code == 0);
  const std::string capture = folder.file("a.wav");
  const std::string shot = "predict --typical led-rippled --fps 25 --shutter 1/50";
  for (const std::string& place :
       {std::string("/nonexistent/x"), std::string("/dev/full"), folder.path()}) {
    require_unwritten("measure " + capture + " --save " + place);
    require_unwritten(shot + " --picture " + place);
  }
  require_unwritten("measure " + capture + " --report /dev/full");
  require_unwritten("shutters --typical led-rippled --fps 25 --report /dev/full");
}

TEST_CASE("synth tells a full disk and a missing folder for every kind of file") {
  const ScratchFolder folder("synth-outputs");
  for (const std::string ending : {".wav", ".flac", ".csv", ".y4m"}) {
    const std::string full = folder.file("full" + ending);
    std::filesystem::create_symlink("/dev/full", full);
    require_unwritten("synth " + full + " --mains 50 --seconds 0.5");
    CHECK(std::filesystem::is_symlink(full));
    const RunResult run =
        run_lampbeat("synth /nonexistent/x" + ending + " --mains 50 --seconds 0.5");
    CHECK(run.exit_code == 4);
    CHECK(mentions(run.err, "cannot be written: No such file or directory; check"));
  }
}

TEST_CASE("a full disk behind standard output is told") {
  const std::string shot = "predict --typical led-rippled --fps 25 --shutter 1/50";
  for (const std::string& command : {shot, shot + " --json", std::string("predict --list-typical"),
                                     std::string("shutters --typical halogen --fps 25 --json")}) {
    const RunResult run = run_command(places::program() + " " + command + " >/dev/full");
    INFO(command << "\n" << run.err);
    CHECK(run.exit_code == 4);
    CHECK(mentions(run.err, "standard output"));
  }
}

TEST_CASE("an output that fails leaves the old file and no remains") {
  const ScratchFolder folder("kept");
  write_file(folder.file("old.wav"), "precious");
  CHECK(run_lampbeat("synth " + folder.file("old.wav") + " --component 100:20 --component 1e9:5")
            .exit_code == 2);
  CHECK(contents_of(folder.file("old.wav")) == "precious");
  write_file(folder.file("old.json"), "precious");
  CHECK(run_lampbeat("measure " + folder.file("old.wav") + " --save " + folder.file("old.json"))
            .exit_code == 3);
  CHECK(contents_of(folder.file("old.json")) == "precious");
  std::size_t files = 0;
  for (const auto& entry : std::filesystem::directory_iterator(folder.path())) {
    files += entry.is_regular_file() ? 1 : 0;
  }
  CHECK(files == 2);
}

TEST_CASE("in a plain locale every command prints ASCII only, and never more than 100 columns") {
  const ScratchFolder folder("ascii");
  const std::string capture = folder.file("a.wav");
  REQUIRE(run_lampbeat("synth " + capture + " --pwm 481.3:0.3 --noise 1").exit_code == 0);
  for (const std::string& command : {"measure " + capture, "measure --plot " + capture,
                                     "predict --fps 25 --shutter 1/250 --light " + capture,
                                     "shutters --fps 24,25,29.97,50,60 --light " + capture,
                                     std::string("predict --list-typical")}) {
    const RunResult run = run_command("LC_ALL=C " + places::program() + " " + command);
    INFO(command);
    CHECK(run.exit_code == 0);
    bool ascii = true;
    for (const char c : run.out + run.err) ascii = ascii && static_cast<unsigned char>(c) < 0x80;
    CHECK(ascii);
    std::istringstream lines(run.out);
    for (std::string line; std::getline(lines, line);) {
      INFO(line);
      CHECK(line.size() <= 100);
      CHECK(line.find('\x1b') == std::string::npos);
    }
  }
}
