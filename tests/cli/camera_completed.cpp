// `footage --save-camera` completes a camera file: the readout goes into the mode that was filmed,
// everything else stays, and where it is not clear which mode that was, nothing is written.

#include <cmath>
#include <nlohmann/json.hpp>
#include <string>

#include "support/catch.hpp"
#include "support/run_program.hpp"

using namespace lampbeat::test;
using nlohmann::json;

namespace {

json mode(const char* name, int fps, int rows) {
  return {{"name", name},
          {"fps", fps},
          {"rows", rows},
          {"readout", nullptr},
          {"shutters", {"1/50", "1/60", "180deg"}}};
}

struct Kitchen {
  ScratchFolder folder{"camera-completed"};
  std::string clip = folder.file("a.y4m");
  std::string camera = folder.file("cam.json");

  explicit Kitchen(const json& modes) {
    REQUIRE(run_lampbeat("synth " + clip +
                         " --mains 60 --component 120:40 --fps 25 --shutter 1/400 --readout 16ms "
                         "--rows 180 --noise 1 --seconds 3")
                .exit_code == 0);
    const json document = {{"schema", "lampbeat.camera/1"}, {"name", "starter"}, {"modes", modes}};
    write_file(camera, document.dump(2));
  }

  RunResult save(const std::string& options = "") const {
    return run_lampbeat("footage " + clip + " --light-hz 120 --save-camera " + camera + " " +
                        options);
  }
  json saved() const { return json::parse(contents_of(camera)); }
};

double readout_ms(const json& mode) { return std::stod(mode["readout"].get<std::string>()); }

void untouched(const Kitchen& kitchen, const std::string& options, const std::string& word) {
  const std::string before = contents_of(kitchen.camera);
  const RunResult run = kitchen.save(options);
  INFO(run.err);
  CHECK(run.exit_code == 2);
  CHECK(run.err.find(word) != std::string::npos);
  CHECK(contents_of(kitchen.camera) == before);
}

}  // namespace

TEST_CASE("the measured readout is filled into the mode that was filmed, and all else stays") {
  const Kitchen kitchen(
      json::array({mode("Film 24", 24, 180), mode("HD 25", 25, 180), mode("4K", 25, 360)}));
  REQUIRE(kitchen.save().exit_code == 0);
  const json camera = kitchen.saved();
  CHECK(camera["name"] == "starter");
  REQUIRE(camera["modes"].size() == 3);
  CHECK(std::abs(readout_ms(camera["modes"][1]) - 16.0) < 0.2);
  for (const std::size_t other : {0U, 2U}) CHECK(camera["modes"][other]["readout"].is_null());
  for (const json& each : camera["modes"]) {
    CHECK(each["shutters"] == json({"1/50", "1/60", "180deg"}));
  }
  // Measured again, it is the same mode.
  REQUIRE(kitchen.save("--camera-name bench").exit_code == 0);
  CHECK(kitchen.saved()["modes"].size() == 3);
  CHECK(kitchen.saved()["name"] == "bench");
}

TEST_CASE("where it is not clear which mode was filmed, it is asked for and nothing is written") {
  const Kitchen kitchen(json::array({mode("HD 25", 25, 1080), mode("Film 24", 24, 1080)}));
  untouched(kitchen, "", "--mode");
  untouched(kitchen, "--mode 'Film 24'", "Film 24");
  REQUIRE(kitchen.save("--mode 'hd 25'").exit_code == 0);
  CHECK(kitchen.saved()["modes"].size() == 2);
  CHECK(std::abs(readout_ms(kitchen.saved()["modes"][0]) - 16.0) < 0.2);
  REQUIRE(kitchen.save("--mode Small").exit_code == 0);
  REQUIRE(kitchen.saved()["modes"].size() == 3);
  CHECK(kitchen.saved()["modes"][2]["name"] == "Small");
  CHECK(kitchen.saved()["modes"][2]["rows"] == 180);
  const Kitchen twins(json::array({mode("HD 25", 25, 180), mode("HD 25 crop", 25, 180)}));
  untouched(twins, "", "HD 25 crop");
}

TEST_CASE("a rate that the camera does not have yet becomes a mode of its own") {
  const Kitchen kitchen(json::array({mode("Film 24", 24, 180)}));
  REQUIRE(kitchen.save().exit_code == 0);
  REQUIRE(kitchen.saved()["modes"].size() == 2);
  CHECK(kitchen.saved()["modes"][1]["fps"] == "25");
  CHECK(run_lampbeat("footage " + kitchen.clip + " --mode X").exit_code == 2);
}
