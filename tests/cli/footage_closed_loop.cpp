// The whole loop as people have it: a clip is rendered by brute force, encoded by an ordinary
// encoder at an ordinary bitrate, decoded again by ffmpeg and piped into the program.

#include <nlohmann/json.hpp>
#include <string>

#include "lampbeat/prediction.hpp"
#include "support/catch.hpp"
#include "support/clip_renderer.hpp"
#include "support/places.hpp"
#include "support/run_program.hpp"
#include "support/skip.hpp"

using namespace lampbeat;
using namespace lampbeat::test;

namespace {

bool have_encoder(const std::string& name) {
  return run_command("ffmpeg -v error -hide_banner -h encoder=" + name)
             .out.find("Encoder " + name) != std::string::npos;
}

struct Codec {
  std::string encoder;
  std::string options;
};

/// Encodes, decodes and measures; the result's JSON.
nlohmann::json through(const Codec& codec, const FilmedScene& scene, const std::string& options) {
  const ScratchFolder folder("closed-loop");
  FilmedClip clip(scene);
  write_y4m(clip, folder.file("filmed.y4m"));
  const RunResult encoded =
      run_command("ffmpeg -v error -y -i " + folder.file("filmed.y4m") + " -c:v " + codec.encoder +
                  " " + codec.options + " " + folder.file("clip.mp4"));
  INFO(encoded.err);
  REQUIRE(encoded.exit_code == 0);
  const RunResult seen = run_command("ffmpeg -v error -i " + folder.file("clip.mp4") +
                                     " -f yuv4mpegpipe -strict -1 - | " + places::program() +
                                     " footage - --json " + options);
  INFO(seen.err);
  REQUIRE(seen.exit_code == 0);
  return nlohmann::json::parse(seen.out);
}

}  // namespace

TEST_CASE("a clip that went through H.264 or HEVC is measured as predict promised it") {
  // 640 x 360 at 3 Mbit/s: what telephones spend on as many pixels.
  const Codec codec =
      GENERATE(Codec{"libx264", "-b:v 3M -preset veryfast"},
               Codec{"libx265", "-b:v 1500k -preset ultrafast -x265-params log-level=error"});
  if (!have_encoder(codec.encoder)) {
    return passed_over("ffmpeg with " + codec.encoder + " is not installed (apt install ffmpeg)");
  }
  FilmedScene scene;
  scene.width = 640;
  scene.height = 360;
  scene.light = ripple(100.0, 0.2, 0.05);
  scene.fps = {30000, 1001};
  scene.noise = 0.01;
  double hz = 100.0;
  SECTION("plain wall at 29.97") {}
  SECTION("busy kitchen at 23.976") {
    scene.fps = {24000, 1001};
    scene.texture = 0.1;
    scene.gradient = 0.5;
    scene.noise = 0.02;
    scene.foreground = true;
    scene.exposure_drift = 0.15;
  }
  SECTION("60 Hz mains at 59.94, a whole second of beat missing") {
    scene.fps = {60000, 1001};
    scene.light = ripple(120.0, 0.25, 0.05);
    scene.seconds = 4.0;
    scene.width = 320;
    scene.height = 180;
    hz = 120.0;
  }
  CAPTURE(codec.encoder);
  const auto json = through(codec, scene, "--light-hz " + std::to_string(hz));
  INFO(json.dump());
  const LightShare alone[] = {{scene.light, 1.0}};
  const Recorded promised =
      predict(alone, {scene.fps, scene.exposure_s, scene.readout_s, scene.height}, {}).nominal;
  REQUIRE(json["band_percent"].is_number());
  CHECK(json["band_percent"].get<double>() == Approx(promised.band_percent).epsilon(0.02));
  CHECK(json["bands_per_frame"].get<double>() == Approx(hz * scene.readout_s).epsilon(0.01));
  CHECK(json["roll_hz"].get<double>() == Approx(promised.roll_hz).margin(0.05));
  CHECK(json["pulse_percent"].get<double>() ==
        Approx(promised.pulse_percent).epsilon(0.05).margin(0.1));
  CHECK(json["readout_s"].get<double>() == Approx(scene.readout_s).epsilon(0.01));
}

TEST_CASE("a practice clip from synth is measured as it was described") {
  const ScratchFolder folder("synth-footage");
  const std::string clip = folder.file("clip.y4m");
  const RunResult made =
      run_lampbeat("synth " + clip +
                   " --component 100:20 --fps 25000/1001 --shutter 1/500 --readout 12ms --rows 180 "
                   "--columns 64 --seconds 3 --noise 1");
  INFO(made.err);
  REQUIRE(made.exit_code == 0);
  const std::string camera = folder.file("camera.json");
  const std::string light = folder.file("light.json");
  const RunResult seen =
      run_lampbeat("footage " + clip + " --light-hz 100 --shutter 1/500 --json --save-camera " +
                   camera + " --save " + light);
  INFO(seen.err);
  REQUIRE(seen.exit_code == 0);
  const auto json = nlohmann::json::parse(seen.out);
  CHECK(json["schema"] == "lampbeat.footage/1");
  CHECK(json["bands_per_frame"].get<double>() == Approx(1.2).epsilon(0.02));
  CHECK(json["readout_s"].get<double>() == Approx(0.012).epsilon(0.02));

  // The saved light predicts the bands it was seen by.
  const RunResult predicted = run_lampbeat(
      "predict --light " + light + " --fps 25000/1001 --shutter 1/500 --readout 12ms --json");
  INFO(predicted.err);
  REQUIRE(predicted.exit_code == 0);
  const auto promise = nlohmann::json::parse(predicted.out);
  CHECK(promise["band_percent"].get<double>() ==
        Approx(json["band_percent"].get<double>()).epsilon(0.02));
  CHECK(contents_of(camera).find("lampbeat.camera") != std::string::npos);
  CHECK(contents_of(camera).find("ms") != std::string::npos);

  SECTION("the same light explains the clip, another does not") {
    const RunResult which =
        run_lampbeat("footage " + clip + " --readout 12ms --json --light " + light);
    REQUIRE(which.exit_code == 0);
    CHECK(nlohmann::json::parse(which.out)["suspects"][0]["explains"] == true);
  }
  SECTION("a limit that is exceeded shows in the exit code") {
    CHECK(run_lampbeat("footage " + clip + " --limit 1").exit_code == 1);
    CHECK(run_lampbeat("footage " + clip + " --limit 90").exit_code == 0);
  }
  SECTION("the text begins with the verdict and fits the terminal") {
    const RunResult text = run_lampbeat("footage " + clip + " --light-hz 100");
    CHECK(text.exit_code == 0);
    CHECK(text.out.find("bands") != std::string::npos);
    int column = 0;
    for (const char c : text.out) {
      column = c == '\n' ? 0 : column + ((static_cast<unsigned char>(c) & 0xC0U) != 0x80U ? 1 : 0);
      REQUIRE(column <= 100);
    }
  }
  SECTION("wrong use and unusable input have their exit codes") {
    CHECK(run_lampbeat("footage " + clip + " --transfer log").exit_code == 2);
    CHECK(run_lampbeat("footage " + clip + " --save x.json").exit_code == 2);
    CHECK(run_lampbeat("footage " + clip + " --light-hz no").exit_code == 2);
    CHECK(run_lampbeat("footage").exit_code == 2);
    CHECK(run_lampbeat("footage /no/such.y4m").exit_code == 3);
    CHECK(run_lampbeat("footage " + clip + " --light /no/such.json").exit_code == 3);
    CHECK(
        run_command("head -c 30000 " + clip + " | " + places::program() + " footage -").exit_code ==
        3);
    CHECK(run_lampbeat("footage " + clip + " --light-hz 100 --save-camera /no/such/folder/c.json")
              .exit_code == 4);
  }
}
