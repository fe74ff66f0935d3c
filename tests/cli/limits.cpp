#include <cmath>
#include <fstream>
#include <numbers>
#include <random>

#include "support/catch.hpp"
#include "support/draws.hpp"
#include "support/run_program.hpp"
#include "support/wav_bytes.hpp"

// A limit passes only what was measured, or what was looked at closely enough to rule it out.

using namespace lampbeat::test;

namespace {

/// A table of readings, with a ripple and white noise in parts of the mean.
void write_table(const std::string& path, double mean, double hz, double ripple, double rate_hz,
                 double seconds, unsigned seed) {
  std::mt19937 random(seed);
  std::normal_distribution<double> noise(0.0, 0.001);
  std::ofstream file(path);
  file << "time_s,light\n";
  for (int i = 0; i < seconds * rate_hz; ++i) {
    const double t = i / rate_hz;
    file << t << ',' << mean + ripple * std::cos(2.0 * std::numbers::pi * hz * t) + noise(random)
         << '\n';
  }
}

}  // namespace

TEST_CASE("what was not measured never passes a limit, and the reason is said") {
  const ScratchFolder folder("limit-unknown");
  const auto held = [&](const std::string& capture) {
    const RunResult ran = run_lampbeat("measure --limit 50 " + capture);
    CHECK(ran.exit_code == 1);
    CHECK(ran.err.find("cannot be held against the limit") != std::string::npos);
  };
  SECTION("readings too far apart to see mains flicker") {
    write_table(folder.file("slow.csv"), 1.0, 100.0, 0.3, 10.0, 60.0, 1);
    held(folder.file("slow.csv"));
  }
  SECTION("a recording without its steady level") {
    write_table(folder.file("ac.csv"), 0.0, 100.0, 0.3, 4000.0, 2.0, 2);
    held(folder.file("ac.csv"));
  }
  SECTION("a recording flat at the end of its scale") {
    write_file(folder.file("full.wav"), wav_of_shorts(std::vector<short>(8000, 0x7FFF), 1, 8000));
    held(folder.file("full.wav"));
  }
}

TEST_CASE("a light found steady passes a limit by what would have been seen, in rate too") {
  const ScratchFolder folder("limit-steady");
  const auto draws = static_cast<unsigned>(lampbeat::test::draws(100));
  for (unsigned i = 0; i < draws; ++i) {
    write_table(folder.file("steady.csv"), 1.0, 100.0, 0.0, 4000.0, 2.0, 10 + i);
    CHECK(run_lampbeat("measure --limit 1 " + folder.file("steady.csv")).exit_code == 0);
    CHECK(run_lampbeat("measure --limit 0 " + folder.file("steady.csv")).exit_code == 1);
  }
  CHECK(run_lampbeat("rate --limit 1 " + folder.file("steady.csv")).exit_code == 0);
  CHECK(run_lampbeat("rate --limit 0 " + folder.file("steady.csv")).exit_code == 1);
}

TEST_CASE("a fixture's deepest level is held against the limit, not only its least fit one") {
  const ScratchFolder folder("limit-levels");
  // 12 % at 100 Hz is the less fit for filming; 45 % at 20 kHz is the deeper.
  write_table(folder.file("full.csv"), 1.0, 100.0, 0.12, 8000.0, 1.0, 5);
  CHECK(run_lampbeat("synth " + folder.file("dim.wav") +
                     " --mains 50 --component 20000:45 --rate 192000 --seconds 1")
            .exit_code == 0);
  std::ofstream(folder.file("shelf.csv"))
      << "fixture,capture,level\nlamp,full.csv,full\nlamp,dim.wav,dim\n";
  CHECK(run_lampbeat("rate --limit 30 " + folder.file("shelf.csv")).exit_code == 1);
  CHECK(run_lampbeat("rate --limit 60 " + folder.file("shelf.csv")).exit_code == 0);
}

TEST_CASE("a clip that could not be decided never passes a limit, a file not saved shows") {
  const ScratchFolder folder("limit-clip");
  // Under whole cycles nothing shows, and without a word about the light nothing is proved.
  const std::string clip = folder.file("a.y4m");
  REQUIRE(run_lampbeat("synth " + clip +
                       " --mains 50 --component 100:30 --fps 25 --shutter 1/50 --rows 240 "
                       "--columns 32 --seconds 2")
              .exit_code == 0);
  const RunResult ran = run_lampbeat("footage --limit 50 --json " + clip +
                                     " --light-hz 100 --save-camera " + folder.file("camera.json"));
  CHECK(ran.exit_code == 1);
  CHECK(ran.err.find("camera.json was not written") != std::string::npos);
  CHECK(ran.out.find("\"verdict\":null") != std::string::npos);
  CHECK(ran.err.find("cannot be held against the limit") != std::string::npos);
}

TEST_CASE("every outcome of every command is held against the limit") {
  const ScratchFolder folder("limit-table");
  const auto clip = [&](const std::string& name, const std::string& how) {
    REQUIRE(
        run_lampbeat("synth " + folder.file(name) + " --rows 240 --columns 32 --seconds 3 " + how)
            .exit_code == 0);
    return folder.file(name);
  };
  const std::string bands = clip("bands.y4m", "--component 100:30 --fps 30 --shutter 1/500");
  const std::string none = clip("none.y4m", "--component 100:0.001 --fps 30 --shutter 1/50");
  write_table(folder.file("ripple.csv"), 1.0, 100.0, 0.3, 4000.0, 2.0, 1);
  write_table(folder.file("steady.csv"), 1.0, 100.0, 0.0, 4000.0, 2.0, 2);
  write_table(folder.file("slow.csv"), 1.0, 100.0, 0.3, 10.0, 60.0, 3);
  const std::string ripple = folder.file("ripple.csv");
  const std::string steady = folder.file("steady.csv");
  const std::string slow = folder.file("slow.csv");
  struct Row {
    std::string asked;
    int passes, fails;  // limits in percent; -1: none does
  };
  const Row rows[] = {
      {"measure " + ripple, 31, 29},
      {"measure " + steady, 1, 0},
      {"measure " + slow, -1, 99},
      {"rate " + ripple, 31, 29},
      {"rate " + steady, 1, 0},
      {"predict --fps 25 --shutter 1/500 --light " + ripple, 35, 25},
      {"predict --fps 25 --shutter 1/50 --light " + steady, 1, 0},
      {"shutters --fps 25 --available 1/500 --light " + ripple, 35, 25},
      {"footage --light-hz 100 " + bands, 35, 25},
      {"footage --light-hz 100 " + none, 5, 0},
      // Nothing is known of the light, so nothing was ruled out.
      {"footage " + none, -1, 99},
  };
  for (const Row& row : rows) {
    CAPTURE(row.asked);
    const auto held = [&](int percent) {
      return run_lampbeat(row.asked + " --limit " + std::to_string(percent)).exit_code;
    };
    if (row.passes >= 0) CHECK(held(row.passes) == 0);
    CHECK(held(row.fails) == 1);
  }
}

TEST_CASE("predict and shutters hold a steady light by what its measuring could have missed") {
  const ScratchFolder folder("limit-predict");
  const std::string noisy = folder.file("noisy.json");
  std::ofstream(noisy) << R"({"schema":"lampbeat.light/1","name":"noisy","mains_hz":null,)"
                       << R"("components":[],"noise_percent":4.0,"source":"made up","made":""})";
  const std::string light = " --light " + noisy + " --fps 25 ";
  CHECK(run_lampbeat("predict --shutter 1/50 --limit 5" + light).exit_code == 0);
  CHECK(run_lampbeat("predict --shutter 1/50 --limit 3" + light).exit_code == 1);
  CHECK(run_lampbeat("shutters --limit 5" + light).exit_code == 0);
  CHECK(run_lampbeat("shutters --limit 3" + light).exit_code == 1);
}
