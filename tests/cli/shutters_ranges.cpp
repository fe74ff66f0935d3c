#include <fmt/format.h>

#include <chrono>
#include <cmath>
#include <string>

#include "cli/contract.hpp"

// Finely set shutters and slow motion, asked of the built program.

using namespace lampbeat::test;

namespace {

const std::string tube = " --typical tube-magnetic --mains 50 ";

}  // namespace

TEST_CASE("ranges of every notation are taken, mixed with single shutters") {
  for (const char* available :
       {"1/24..1/2000:0.1", "11.2deg..360deg:0.1", "0.5ms..40ms:0.01", "500us..40000us:10",
        "0.0005s..0.04s:0.0001", "any", "1/50,1/125,2ms..20ms:0.1,172.8deg"}) {
    const Json plan = answer("shutters --fps 24,25" + tube + "--available " + available);
    INFO(available);
    REQUIRE(plan["settings"].size() > 4);
    CHECK(plan["settings"][0]["verdict"] == "clean");
    for (const Json& o : plan["outlooks"]) {
      const Json& exact = o["exact"];
      CHECK(exact["exposure_s"].get<double>() == Approx(0.02).epsilon(0.005));
      CHECK(exact["clean_from_s"].get<double>() < 0.02);
      CHECK(exact["clean_to_s"].get<double>() >= 0.02);
      CHECK(exact["nearest_stop"]["label"].is_string());
    }
  }
  CHECK(answer("shutters --fps 24" + tube)["outlooks"][0]["exact"].is_null());
}

TEST_CASE("a point of a range is predicted as it is planned, by its label") {
  const Json plan =
      answer("shutters --fps 24,59.94" + tube + "--readout 12ms --available 1/24..1/500:0.1");
  for (std::size_t i = 0; i < plan["settings"].size(); i += 20) {
    const Json& s = plan["settings"][i];
    const Json p =
        answer(fmt::format("predict --fps {} --shutter {} --readout 12ms {}",
                           s["fps"] == 24.0 ? "24" : "59.94", s["label"].get<std::string>(), tube));
    INFO(s.dump());
    CHECK(p["worst"]["visibility"] == s["visibility"]);
    CHECK(p["worst"]["verdict"] == s["verdict"]);
    CHECK(p["exposure_s"] == s["exposure_s"]);
  }
}

TEST_CASE("twenty thousand points at five rates take no time worth waiting for") {
  for (const char* light : {"tube-magnetic", "led-pwm", "led-rippled"}) {
    const auto start = std::chrono::steady_clock::now();
    answer(fmt::format("shutters --fps 24,25,30,50,60 --available 1/24..1/2000:0.1 --typical {}",
                       light));
    const std::chrono::duration<double> took = std::chrono::steady_clock::now() - start;
    INFO(light << ": " << took.count() << " s");
    CHECK(took.count() < 20.0);  // a second by itself; sanitizers and other work slow it down
  }
}

TEST_CASE("a range that cannot be read is refused with what is wrong") {
  const auto refused = run_lampbeat("shutters --fps 25" + tube + "--available 1/24..360deg:0.1");
  CHECK(refused.exit_code == 2);
  CHECK(refused.err.find("both ends have to be written alike") != std::string::npos);
  CHECK(run_lampbeat("shutters --fps 25" + tube + "--available 1/24..1/50:0").exit_code == 2);
}

TEST_CASE("what is clean only while a dimmer's clock holds is headed so and never called clean") {
  const std::string dimmer = "shutters --fps 24 --typical led-pwm --available any";
  const Json plan = answer(dimmer);
  const Json& held = plan["outlooks"][0]["only_while_clock_holds"];
  CHECK(held["verdict"] != "clean");
  CHECK(held["clean_from_s"].is_null());
  CHECK(held["clock_margin_percent"].get<double>() < 1.0);
  CHECK(plan["outlooks"][0]["any_clean"] == false);
  const std::string text = run_lampbeat(dimmer).out;
  CHECK(text.find("Only while its clock holds") != std::string::npos);
  CHECK(text.find("is clean, ") == std::string::npos);
  CHECK(plan["outlooks"][0]["exact"]["verdict"] != "clean");
  CHECK(run_lampbeat("shutters --fps 24 --available any" + tube).out.find("Only while its clock") ==
        std::string::npos);
}

TEST_CASE("slow motion names a slower clean rate and a share of steady light, both true") {
  const std::string light = "--typical tube-magnetic --mains 60 ";
  const std::string shot = "--fps 240 --shutter 1/480 --readout 4ms ";
  const Json p = answer("predict " + shot + light);
  CHECK(p["slower"]["fps"] == 120.0);
  CHECK(p["slower"]["label"] == "1/120");
  CHECK(answer("predict --fps 120 --shutter 1/120 --readout 4ms " + light)["worst"]["verdict"] ==
        "clean");
  const double percent = p["steady_light_percent"];
  REQUIRE(percent > 5.0);
  const auto mixed = [&](double steady) {
    return answer(
        fmt::format("predict {} --typical tube-magnetic:{} --typical daylight:{} "
                    "--mains 60",
                    shot, 100.0 - steady, steady))["worst"]["verdict"];
  };
  CHECK(mixed(percent) == "clean");
  CHECK(mixed(percent - 1.0) != "clean");
  const std::string text = run_lampbeat("predict " + shot + light).out;
  CHECK(text.find("120 fps at 1/120 s would be clean") != std::string::npos);
  CHECK(text.find("% of the light on the subject") != std::string::npos);
}

TEST_CASE("advice keeps to the notation that was asked, and a camera's own before that") {
  const std::string light = "--typical tube-magnetic --mains 50 ";
  const auto advice = [&](const std::string& shot) {
    return run_lampbeat("predict --fps 24 --shutter " + shot + " " + light).out;
  };
  CHECK(advice("1/60").find("Set 1/50 s") != std::string::npos);
  CHECK(advice("180deg").find("Set 172.8\u00b0") != std::string::npos);
  CHECK(advice("16.7ms").find("Set 20 ms") != std::string::npos);
  const ScratchFolder folder("fine_camera");
  const std::string camera = folder.file("cam.json");
  write_file(camera, R"({"schema": "lampbeat.camera/1", "name": "cam", "modes": [
    {"name": "fine", "fps": "24", "rows": 1080, "readout": "16ms",
     "shutters": ["11.2deg..360deg:0.1"]}]})");
  CHECK(advice("1/60 --camera " + camera).find("Set 172.8\u00b0") != std::string::npos);
  CHECK(answer("shutters --camera " + camera + " " + light)["outlooks"][0]["exact"]["label"]
            .get<std::string>()
            .find("\u00b0") != std::string::npos);
}
