#include <filesystem>
#include <string>

#include "lampbeat/camera.hpp"
#include "lampbeat/camera_file.hpp"
#include "lampbeat/error.hpp"
#include "lampbeat/prediction.hpp"
#include "lampbeat/shutters.hpp"
#include "lampbeat/typical.hpp"
#include "support/catch.hpp"
#include "support/places.hpp"
#include "support/scratch.hpp"

using namespace lampbeat;

namespace {

std::string file_with(const std::string& text) { return test::scratch_file("camera.json", text); }

std::string camera_with(const std::string& mode) {
  return R"({"schema": "lampbeat.camera/1", "name": "cam", "modes": [)" + mode + "]}";
}

std::string refusal(const std::string& text) {
  const std::string path = file_with(text);
  try {
    read_camera(path);
  } catch (const InputError& error) {
    const std::string message = error.what();
    CHECK(message.find(path) == 0);
    return message.substr(path.size());
  }
  return "accepted";
}

bool mentions(const std::string& text, const std::string& part) {
  INFO(text);
  return text.find(part) != std::string::npos;
}

}  // namespace

TEST_CASE("the example camera reads as it was typed") {
  const Camera camera = read_camera(places::sources() + "/captures/kitchen-cam.json");
  CHECK(camera.name == "kitchen cam");
  REQUIRE(camera.modes.size() == 5);
  CHECK(camera.modes[0].fps.numerator == 25);
  CHECK(camera.modes[0].readout_s == Approx(0.016));
  CHECK(camera.modes[1].fps.denominator == 1001);
  CHECK(camera.modes[2].rows == 2160);
  CHECK(camera.modes[2].shutters.front() == "45deg");
  CHECK_FALSE(camera.modes[4].readout_s.has_value());
  CHECK(camera.modes[4].shutters.empty());
}

TEST_CASE("a camera written out and read again is the same") {
  Camera camera{"cam", {}};
  camera.modes.push_back({"global", {24000, 1001}, 2160, 0.0, {"180deg", "1/48"}});
  camera.modes.push_back({"unknown", {999, 7}, 720, {}, {}});
  camera.modes.push_back({"rolling", {60, 1}, 1080, 0.0083125, {}});
  const Camera back = read_camera(file_with(camera_json(camera)));
  REQUIRE(back.modes.size() == 3);
  CHECK(back.name == camera.name);
  for (std::size_t i = 0; i < 3; ++i) {
    CHECK(back.modes[i].name == camera.modes[i].name);
    CHECK(back.modes[i].fps.numerator == camera.modes[i].fps.numerator);
    CHECK(back.modes[i].fps.denominator == camera.modes[i].fps.denominator);
    CHECK(back.modes[i].rows == camera.modes[i].rows);
    CHECK(back.modes[i].readout_s.has_value() == camera.modes[i].readout_s.has_value());
    CHECK(back.modes[i].readout_s.value_or(-1) ==
          Approx(camera.modes[i].readout_s.value_or(-1)).margin(1e-9));
    CHECK(back.modes[i].shutters == camera.modes[i].shutters);
  }
}

TEST_CASE("notes, and keys of somebody else's, are kept when a camera is written out") {
  const Camera camera = read_camera(file_with(
      R"({"schema": "lampbeat.camera/1", "name": "cam", "notes": "borrowed until May",
          "lens": {"mount": "bayonet"}, "modes": [
            {"name": "HD", "fps": 25, "crop": 1.5, "notes": "the quiet one"},
            {"name": "Slow", "fps": 100, "notes": ["not", "text"]}]})"));
  CHECK(camera.notes == "borrowed until May");
  CHECK(camera.modes[0].notes == "the quiet one");
  CHECK(camera.modes[1].notes.empty());
  const std::string written = camera_json(camera);
  const Camera back = read_camera(file_with(written));
  CHECK(back.notes == camera.notes);
  CHECK(back.other_keys == R"({"lens":{"mount":"bayonet"}})");
  CHECK(back.modes[0].notes == "the quiet one");
  CHECK(back.modes[0].other_keys == R"({"crop":1.5})");
  CHECK(back.modes[1].other_keys == R"({"notes":["not","text"]})");
  CHECK(camera_json(back) == written);
}

TEST_CASE("the starters of each kind of camera serve predict and shutters in every mode") {
  const LightShare tube{typical_light("tube-magnetic", 50), 1.0};
  int starters = 0;
  for (const auto& file :
       std::filesystem::directory_iterator(places::sources() + "/captures/cameras")) {
    INFO(file.path());
    ++starters;
    const Camera camera = read_camera(file.path().string());
    CHECK(mentions(camera.notes, "common practice, no source"));
    CHECK(camera.modes.size() >= 8);
    for (const CameraMode& mode : camera.modes) {
      INFO(mode.name);
      REQUIRE(mode.readout_s.has_value());
      CHECK(readable_in(*mode.readout_s, mode.fps));
      REQUIRE_FALSE(mode.shutters.empty());
      const double exposure_s = parse_exposure_s(mode.shutters.front(), mode.fps);
      CHECK_NOTHROW(
          predict({&tube, 1}, shot_of(mode.fps, exposure_s, mode.readout_s, mode.rows), {}));
      PlanRequest request;
      request.frame_rates = {mode.fps};
      request.readout_s = mode.readout_s;
      request.rows = mode.rows;
      request.available = mode.shutters;
      // Every step of the dial fits the frame.
      CHECK(plan_shutters({&tube, 1}, request).settings.size() == mode.shutters.size());
    }
  }
  CHECK(starters == 3);
}

TEST_CASE("a damaged camera file is refused with the place and what was expected") {
  CHECK(mentions(refusal(""), "empty"));
  CHECK(mentions(refusal("{\"schema\": "), "not valid JSON"));
  CHECK(mentions(refusal("{}"), "lampbeat.camera/1"));
  CHECK(mentions(refusal(R"({"schema": "lampbeat.light/1"})"), "lampbeat.camera/1"));
  CHECK(mentions(refusal(R"({"schema": "lampbeat.camera/1", "modes": []})"), "\"name\""));
  CHECK(mentions(refusal(camera_with("")), "at least one mode"));
  CHECK(mentions(refusal(camera_with("7")), "mode 1"));
  CHECK(mentions(refusal(camera_with(R"({"fps": 25})")), "mode 1: \"name\""));
  CHECK(mentions(refusal(camera_with(R"({"name": "HD"})")), "mode \"HD\": \"fps\""));
  CHECK(mentions(refusal(camera_with(R"({"name": "HD", "fps": "fast"})")), "'fast'"));
  CHECK(mentions(refusal(camera_with(R"({"name": "HD", "fps": 1e99})")), "\"fps\""));
  CHECK(mentions(refusal(camera_with(R"({"name": "HD", "fps": 25, "rows": 0})")), "\"rows\""));
  CHECK(mentions(refusal(camera_with(R"({"name": "HD", "fps": 25, "rows": 1.5})")), "\"rows\""));
  CHECK(mentions(refusal(camera_with(R"({"name": "HD", "fps": 25, "readout": 16})")), "16ms"));
  CHECK(mentions(refusal(camera_with(R"({"name": "HD", "fps": 25, "readout": "9s"})")), "'9s'"));
  CHECK(mentions(refusal(camera_with(R"({"name": "HD", "fps": 25, "shutters": "1/50"})")),
                 "should be a list"));
  CHECK(mentions(refusal(camera_with(R"({"name": "HD", "fps": 25, "shutters": [50]})")), "50"));
  CHECK(
      mentions(refusal(camera_with(R"({"name": "HD", "fps": 25, "shutters": ["1/0"]})")), "'1/0'"));
  CHECK(mentions(refusal(camera_with(R"({"name": "a\u0007", "fps": 25})")), "control character"));
  CHECK(mentions(refusal(camera_with(R"({"name": "HD", "fps": 25},{"name": "HD", "fps": 30})")),
                 "two modes"));
  CHECK(mentions(refusal(std::string(100000, '[')), "not valid JSON"));
  CHECK_THROWS_AS(read_camera("/nonexistent/camera.json"), InputError);
}

TEST_CASE("a dial may list speeds longer than the mode's frame") {
  const Camera camera = read_camera(
      file_with(camera_with(R"({"name": "slow", "fps": 100.0, "shutters": ["1/50", "1/100"]})")));
  CHECK(camera.modes[0].shutters.size() == 2);
  CHECK(camera.modes[0].fps.numerator == 100);
}

TEST_CASE("a mode is found by name, a missing one is answered with the list") {
  const Camera camera{"cam",
                      {{"Full HD", {25, 1}, 1080, {}, {}}, {"Slow", {100, 1}, 1080, {}, {}}}};
  CHECK(mode_named(camera, "full hd").fps.numerator == 25);
  CHECK_THROWS_AS(mode_named(camera, ""), UsageError);
  try {
    mode_named(camera, "fast");
    FAIL("accepted");
  } catch (const UsageError& error) {
    CHECK(mentions(error.what(), "'Full HD', 'Slow'"));
  }
  const Camera single{"cam", {{"Only", {25, 1}, 1080, {}, {}}}};
  CHECK(mode_named(single, "").name == "Only");
}
