#include <cmath>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <sstream>
#include <string>
#include <vector>

#include "cli/contract.hpp"
#include "support/places.hpp"
#include "support/read_all.hpp"

using namespace lampbeat;
using test::mentions;
using test::run_lampbeat;

namespace {

std::vector<std::string> lines_of(const std::string& text) {
  std::vector<std::string> lines;
  std::istringstream stream(text);
  for (std::string line; std::getline(stream, line);) lines.push_back(line);
  return lines;
}

}  // namespace

TEST_CASE("synth makes the same light as a sound file, a FLAC file and a table") {
  const test::ScratchFolder folder("same-light");
  const std::string light =
      " --component 100:20:30 --component 350:5 --noise 1 --seconds 0.5 --seed 3";
  for (const char* name : {"a.wav", "a.flac", "a.csv"}) {
    const auto run = run_lampbeat("synth " + folder.file(name) + light);
    CHECK(run.exit_code == 0);
    CHECK(run.out.empty());
    CHECK(mentions(run.err, "10000 samples at 20000 Hz, a synthetic capture"));
  }
  const auto table = test::read_all(folder.file("a.csv")).value;
  const auto wav = test::read_all(folder.file("a.wav")).value;
  const auto flac = test::read_all(folder.file("a.flac")).value;
  REQUIRE(table.size() == 10000);
  REQUIRE(wav.size() == 10000);
  REQUIRE(flac.size() == 10000);
  double wav_apart = 0.0;
  double flac_apart = 0.0;
  for (std::size_t i = 0; i < table.size(); ++i) {
    wav_apart = std::max(wav_apart, std::abs(wav[i] - table[i]));
    flac_apart = std::max(flac_apart, std::abs(flac[i] - table[i]));
  }
  CHECK(wav_apart < 1e-7);               // 32-bit float
  CHECK(flac_apart < 1.01 / (1 << 24));  // half a step of 24 bits
}

TEST_CASE("synth writes a table that says what its columns are") {
  const auto run = run_lampbeat("synth - --component 100:20 --rate 1000 --seconds 0.01");
  CHECK(run.exit_code == 0);
  CHECK(run.err.empty());
  const auto lines = lines_of(run.out);
  REQUIRE(lines.size() == 11);
  CHECK(lines[0] == "time_s,light");
  CHECK(lines[1] == "0,0.3");
  CHECK(lines[6] == "0.005,0.2");
}

TEST_CASE("synth writes what a microcontroller logs: whole microseconds and whole counts") {
  const auto run = run_lampbeat(
      "synth - --mains 50 --rate 4000 --jitter 10 --bits 10 --counts --time-unit us --seconds 0.1");
  const auto lines = lines_of(run.out);
  REQUIRE(lines.size() == 401);
  CHECK(lines[0] == "time_us,light");
  for (std::size_t i = 1; i < lines.size(); ++i) {
    CHECK(lines[i].find_first_not_of("0123456789,") == std::string::npos);
  }
}

TEST_CASE("synth repeats itself from its seed, byte for byte") {
  const test::ScratchFolder folder("seeds");
  const std::string light = " --mains 60 --noise 2 --seconds 0.2 --seed ";
  for (const char* ending : {".wav", ".csv"}) {
    run_lampbeat("synth " + folder.file(std::string("a") + ending) + light + "5");
    run_lampbeat("synth " + folder.file(std::string("b") + ending) + light + "5");
    run_lampbeat("synth " + folder.file(std::string("c") + ending) + light + "6");
    const std::string a = test::contents_of(folder.file(std::string("a") + ending));
    CHECK(a.size() > 1000);
    CHECK(a == test::contents_of(folder.file(std::string("b") + ending)));
    CHECK(a != test::contents_of(folder.file(std::string("c") + ending)));
  }
}

TEST_CASE("synth keeps a deep dimmer below full scale and says so") {
  const test::ScratchFolder folder("deep-dimmer");
  const auto run = run_lampbeat("synth " + folder.file("a.wav") + " --pwm 400:5% --noise 1");
  CHECK(run.exit_code == 0);
  CHECK(mentions(run.err, "peaks at 20 times its mean"));
  for (const double value : test::read_all(folder.file("a.wav")).value)
    CHECK(std::abs(value) < 1.0);
  const auto refused = run_lampbeat("synth " + folder.file("b.wav") + " --pwm 400:5% --level 0.25");
  CHECK(refused.exit_code == 2);
  CHECK(mentions(refused.err, "use --level 0.0495 or less"));
  CHECK_FALSE(std::filesystem::exists(folder.file("b.wav")));
}

TEST_CASE("A covered sensor records its dark level and noise, whatever the light") {
  const test::ScratchFolder folder("covered");
  CHECK(run_lampbeat("synth " + folder.file("dark.wav") + " --covered --dark 0.02 --noise 1")
            .exit_code == 0);
  double sum = 0.0;
  const auto samples = test::read_all(folder.file("dark.wav")).value;
  for (const double value : samples) sum += value;
  const double mean = sum / static_cast<double>(samples.size());
  CHECK(mean == Approx(0.02).margin(1e-4));
  double squares = 0.0;
  for (const double value : samples) squares += (value - mean) * (value - mean);
  // 1 % of the level a lit sensor would read, 0.25.
  CHECK(std::sqrt(squares / static_cast<double>(samples.size())) == Approx(0.0025).epsilon(0.02));
}

TEST_CASE("synth refuses what makes no sense, in words, and leaves nothing behind") {
  const test::ScratchFolder folder("refusals");
  struct Refusal {
    const char* arguments;
    const char* words;
  };
  const Refusal refusals[] = {
      {"", "describe a light"},
      {"--component 100", "HZ:PERCENT"},
      {"--component 100:20:30:40", "HZ:PERCENT"},
      {"--component :20", "HZ:PERCENT"},
      {"--component 100:2x", "HZ:PERCENT"},
      {"--component nan:20", "HZ:PERCENT"},
      {"--component -100:20", "frequency"},
      {"--component 100:130", "cannot be negative"},
      {"--pwm 400", "HZ:DUTY"},
      {"--pwm 400:1.5", "duty"},
      {"--pwm 400:0%", "duty"},
      {"--mains 0", "mains frequency"},
      {"--rectified 20", "--mains"},
      {"--mains 50 --rectified 130", "rectified ripple"},
      {"--typical tube-magnetc", "tube-magnetic"},
      {"--mains 50 --rate 0", "samples per second"},
      {"--mains 50 --rate 20000.5", "whole number"},
      {"--mains 50 --seconds 0", "length"},
      {"--mains 50 --seconds 1e12", "length"},
      {"--mains 50 --noise -3", "noise"},
      {"--mains 50 --dark 1", "no room"},
      {"--mains 50 --bits 99", "resolution"},
      {"--mains 50 --seed -1", "--seed"},
      {"--mains 50 --counts", ".csv"},
      {"--mains 50 --jitter 70", "jitter"},
      {"--mains 50 --fps 25", ".y4m"},
      {"--mains 50 --rate forty", "forty"},
      {"--mians 50", "--mians"},
  };
  for (const Refusal& refusal : refusals) {
    const auto run = run_lampbeat("synth " + folder.file("x.wav") + " " + refusal.arguments);
    CAPTURE(refusal.arguments, run.err);
    CHECK(run.exit_code == 2);
    CHECK(run.out.empty());
    CHECK(mentions(run.err, refusal.words));
  }
  CHECK(run_lampbeat("synth " + folder.file("x.txt") + " --mains 50").exit_code == 2);
  CHECK(run_lampbeat("synth").exit_code == 2);
  CHECK(std::filesystem::is_empty(folder.path()));
}

TEST_CASE("synth that cannot write says so and spares what stood there") {
  const test::ScratchFolder folder("unwritable");
  for (const char* name :
       {"no/such/folder/x.wav", "no/such/folder/x.csv", "no/such/folder/x.y4m"}) {
    const auto run = run_lampbeat("synth " + folder.file(name) + " --mains 50 --seconds 0.1");
    CHECK(run.exit_code == 4);
    CHECK(mentions(run.err, name));
  }
  if (std::filesystem::exists("/dev/full")) {
    CHECK(test::run_command(places::program() + " synth - --mains 50 >/dev/full").exit_code == 4);
  }
  std::ofstream(folder.file("kept.csv")) << "mine\n";
  CHECK(run_lampbeat("synth " + folder.file("kept.csv") + " --component 100:130").exit_code == 2);
  CHECK(test::contents_of(folder.file("kept.csv")) == "mine\n");
}
