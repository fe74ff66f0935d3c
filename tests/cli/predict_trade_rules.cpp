#include <fmt/format.h>

#include "cli/contract.hpp"

// The rules of the trade, by computation. Common practice, no source.

using namespace lampbeat::test;

namespace {

Json shot(const std::string& lights, const std::string& camera) {
  return answer("predict " + lights + " " + camera);
}

}  // namespace

TEST_CASE(
    "whole cycles of the mains ripple are clean on both mains, for every typical lamp on it") {
  for (const char* name : {"tungsten", "halogen", "tube-magnetic", "compact-fluorescent",
                           "led-smoothed", "led-rippled", "metal-halide", "sodium"}) {
    for (const auto& [mains, camera] :
         std::vector<std::pair<int, std::string>>{{60, "--fps 24 --shutter 144deg"},
                                                  {60, "--fps 30 --shutter 1/60"},
                                                  {60, "--fps 60 --shutter 1/120"},
                                                  {50, "--fps 25 --shutter 1/50"},
                                                  {50, "--fps 25 --shutter 1/100"},
                                                  {50, "--fps 24 --shutter 172.8deg"}}) {
      const Json p = shot(fmt::format("--typical {} --mains {}", name, mains), camera);
      INFO(name << " " << mains << " " << camera);
      CHECK(p["band_percent"].get<double>() < 0.05);
      CHECK(p["verdict"] == "clean");
    }
    CHECK(shot(fmt::format("--typical {} --mains 60", name),
               "--fps 30 --shutter 1/250")["band_percent"]
              .get<double>() > 2.0);
  }
}

TEST_CASE("a clock tolerance says how far a dimmer's own clock is trusted") {
  const std::string shot = "predict --typical led-pwm --fps 25 --shutter 1/50 --readout 16ms";
  const Json usual = answer(shot);
  CHECK(usual["clock_tolerance_percent"] == 1.0);
  CHECK(usual["verdict"] == "clean");
  CHECK(usual["worst"]["verdict"] != "clean");
  CHECK(std::abs(usual["worst"]["clock_percent"].get<double>()) <= 1.0);
  const Json crystal = answer(shot + " --clock-tolerance 0");
  CHECK(crystal["worst"]["verdict"] == "clean");
  const Json plan = answer("shutters --typical led-pwm --fps 25 --available 1/50 --readout 16ms");
  CHECK(plan["settings"][0]["clock_margin_percent"].get<double>() < 1.0);
  CHECK(plan["settings"][0]["verdict"] == usual["worst"]["verdict"]);
  CHECK(plan["settings"][0]["visibility"] == usual["worst"]["visibility"]);
  const Json locked = answer("predict --typical tube-magnetic --mains 50 --fps 25 --shutter 1/50");
  CHECK(locked["clock_tolerance_percent"].is_null());
  CHECK(run_lampbeat(shot + " --clock-tolerance 90").exit_code == 2);
}

TEST_CASE("every notation of one shutter gives the same shot") {
  for (const char* shutter : {"1/250", "4ms", "4000us", "0.004s", "36deg"}) {
    const Json p =
        shot("--typical led-rippled --mains 50", std::string("--fps 25 --shutter ") + shutter);
    CHECK(p["exposure_s"].get<double>() == Approx(0.004).epsilon(1e-12));
    CHECK(p["shutter_deg"].get<double>() == Approx(36.0).epsilon(1e-12));
  }
}

TEST_CASE("a light retuned to the other mains is the light measured there") {
  const ScratchFolder folder("retune");
  for (const char* mains : {"50", "60"}) {
    REQUIRE(run_lampbeat(
                fmt::format("synth {0}/{1}.wav --mains {1} --rectified 40", folder.path(), mains))
                .exit_code == 0);
  }
  for (const auto& [from, to] :
       std::vector<std::pair<std::string, std::string>>{{"50", "60"}, {"60", "50"}}) {
    for (const char* shutter : {"1/50", "1/60", "1/250", "1/1000"}) {
      const std::string camera = std::string(" --fps 25 --shutter ") + shutter + " --mains " + to;
      const Json moved = shot("--light " + folder.file(from + ".wav"), camera);
      const Json there = shot("--light " + folder.file(to + ".wav"), camera);
      INFO(from << " to " << to << " at " << shutter);
      CHECK(moved["mains_hz"].get<double>() == Approx(std::stod(to)).margin(1e-6));
      CHECK(std::abs(moved["band_percent"].get<double>() - there["band_percent"].get<double>()) <
            0.05);
    }
  }
}

TEST_CASE("shares matter only in proportion, and daylight dilutes the bands") {
  const std::string camera = "--mains 60 --fps 30 --shutter 1/250";
  const Json once = shot("--typical led-rippled:1 --typical daylight:1", camera);
  const Json many = shot("--typical led-rippled:30 --typical daylight:30", camera);
  const Json alone = shot("--typical led-rippled", camera);
  CHECK(once["band_percent"].get<double>() ==
        Approx(many["band_percent"].get<double>()).epsilon(1e-9));
  CHECK(once["band_percent"].get<double>() < 0.6 * alone["band_percent"].get<double>());
}

TEST_CASE("predict has every key, and --limit ends with 1 only above the limit") {
  const Json p = shot("--typical led-rippled --mains 60", "--fps 30 --shutter 1/250");
  CHECK(p["schema"] == "lampbeat.predict/1");
  CHECK(p["lights"].is_array());
  CHECK(p["advice"].is_array());
  CHECK(p["verdict"] == "strong");
  for (const char* key :
       {"mains_hz", "fps", "exposure_s", "shutter_deg", "readout_s", "band_percent", "band_stops",
        "bands_per_frame", "roll_hz", "pulse_percent", "pulse_hz", "visibility"}) {
    INFO(key);
    CHECK(p.contains(key));
    CHECK((p[key].is_number() || p[key].is_null()));
  }
  for (const char* key : {"mains_hz", "band_percent", "pulse_percent", "verdict"}) {
    CHECK(p["worst"].contains(key));
  }
  const std::string lit = "predict --typical led-rippled --mains 60 --fps 30 --shutter ";
  CHECK(run_lampbeat(lit + "1/250 --limit 2").exit_code == 1);
  CHECK(run_lampbeat(lit + "1/60 --limit 2").exit_code == 0);
}
