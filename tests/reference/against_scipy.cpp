#include <nlohmann/json.hpp>
#include <string>

#include "support/catch.hpp"
#include "support/places.hpp"
#include "support/run_program.hpp"
#include "support/skip.hpp"

// The same captures through NumPy and SciPy: an implementation that shares nothing with lampbeat.

using lampbeat::test::run_command;
using lampbeat::test::run_lampbeat;
using lampbeat::test::RunResult;
using lampbeat::test::ScratchFolder;
using nlohmann::json;

namespace {

/// Debian's own interpreter first: another one in PATH rarely has the packages.
std::string python() {
  for (const char* candidate : {"/usr/bin/python3", "python3"}) {
    if (run_command(std::string(candidate) + " -c 'import numpy, scipy'").exit_code == 0) {
      return candidate;
    }
  }
  return "";
}

/// Whether SciPy is there. Where it is not, the test is passed over with a warning; never in CI.
bool has_scipy() {
  static const bool found = !python().empty();
  if (found) return true;
  lampbeat::test::passed_over("SciPy is not installed (apt install python3-scipy)");
  return false;
}

RunResult reference(const std::string& arguments) {
  static const std::string interpreter = python();
  return run_command(interpreter + " " + places::sources() + "/tests/reference/reference.py " +
                     arguments);
}

void make(const std::string& path, const std::string& light) {
  const auto made = run_lampbeat("synth " + path + " " + light);
  REQUIRE(made.exit_code == 0);
}

}  // namespace

TEST_CASE("measure agrees with SciPy on noise-free captures") {
  if (!has_scipy()) return;
  struct Sample {
    const char* light;
    const char* fundamental_hz;
  };
  const Sample samples[] = {
      {"--component 120:20", "120"},
      {"--component 100:100:-90", "100"},
      {"--component 100:30 --component 300:6:70 --component 700:2:10", "100"},
      {"--mains 50 --rectified 100", "100"},
      {"--mains 60 --rectified 35", "120"},
      {"--pwm 400:30%", "400"},
      {"--pwm 100:50%", "100"},
  };
  const ScratchFolder folder("scipy-figures");
  for (const Sample& sample : samples) {
    CAPTURE(sample.light);
    const std::string wav = folder.file("a.wav");
    make(wav, sample.light);
    const auto peer = reference(std::string("figures ") + sample.fundamental_hz + " " + wav);
    CAPTURE(peer.err);
    REQUIRE(peer.exit_code == 0);
    const auto measured = run_lampbeat("measure " + wav + " --json");
    REQUIRE(measured.exit_code == 0);
    const json ours = json::parse(measured.out);
    const json theirs = json::parse(peer.out);
    for (const char* key : {"percent_flicker", "flicker_index", "dominant_hz"}) {
      CAPTURE(key);
      REQUIRE(ours[key].is_number());
    }
    const auto close = [&](const json& a, const json& b, double margin) {
      CHECK(a.get<double>() == Approx(b.get<double>()).epsilon(0.0).margin(margin));
    };
    close(ours["percent_flicker"], theirs["percent_flicker"], 0.35);
    close(ours["percent_flicker_raw"], theirs["percent_flicker"], 0.01);
    close(ours["flicker_index"], theirs["flicker_index"], 0.004);
    close(ours["dominant_hz"], theirs["dominant_hz"], 0.004);
    for (const char* cut_off : {"40", "90", "200", "400", "1000"}) {
      CAPTURE(cut_off);
      REQUIRE(ours["lowpass_percent"][cut_off].is_number());
      close(ours["lowpass_percent"][cut_off], theirs["lowpass_percent"][cut_off], 0.35);
    }
  }
}

TEST_CASE("AC coupling passes a light as SciPy's first-order high-pass does") {
  if (!has_scipy()) return;
  const ScratchFolder folder("scipy-coupling");
  for (const char* light : {"--component 120:40", "--mains 50 --rectified 90", "--pwm 333:60%"}) {
    CAPTURE(light);
    make(folder.file("direct.wav"), std::string(light) + " --seconds 4 --level 0.25");
    make(folder.file("coupled.wav"),
         std::string(light) + " --seconds 4 --level 0.25 --coupling-corner 10");
    const auto peer =
        reference("coupling 10 " + folder.file("direct.wav") + " " + folder.file("coupled.wav"));
    CAPTURE(peer.err);
    REQUIRE(peer.exit_code == 0);
    CHECK(std::stod(peer.out) < 2e-7);  // 32-bit float samples
  }
}

TEST_CASE("The manifest's expected figures follow from its descriptions") {
  if (!has_scipy()) return;
  const auto peer = reference("manifest " + places::sources() + "/captures/MANIFEST.md");
  CAPTURE(peer.out, peer.err);
  CHECK(peer.exit_code == 0);
  CHECK(peer.out.empty());
}
