#include <algorithm>
#include <memory>

#include "cli/commands.hpp"
#include "cli/light_options.hpp"
#include "cli/limit.hpp"
#include "cli/numbers.hpp"
#include "cli/page_companions.hpp"
#include "lampbeat/camera.hpp"
#include "lampbeat/error.hpp"
#include "lampbeat/filming.hpp"
#include "lampbeat/html.hpp"
#include "lampbeat/picture.hpp"

namespace lampbeat::cli {

namespace {

struct PredictArguments {
  LightArguments lights;
  std::string fps;
  std::string shutter;
  std::string readout;
  std::optional<int> rows;
  std::optional<std::string> camera;
  std::string mode;
  std::optional<std::string> picture;
  std::optional<std::string> report;
  std::optional<double> limit_percent;
  bool json = false;
};

struct AskedShot {
  Shot shot;
  std::vector<std::string> available;  ///< the camera's own shutters
  bool readout_assumed = false;
};

/// What the camera file says, unless the command line says otherwise.
AskedShot shot_from(const PredictArguments& a) {
  AskedShot asked;
  std::optional<CameraMode> mode;
  if (a.camera) mode = mode_named(read_camera(*a.camera), a.mode);
  if (!a.camera && !a.mode.empty()) {
    throw UsageError("--mode needs a --camera file to look it up in");
  }
  if (a.fps.empty() && !mode) {
    throw UsageError("at which frame rate? give --fps, such as --fps 25 or --fps 29.97");
  }
  if (a.shutter.empty()) {
    throw UsageError(
        "at which shutter? give --shutter, such as --shutter 1/50 or --shutter 180deg");
  }
  Shot& shot = asked.shot;
  shot.fps = a.fps.empty() ? mode->fps : parse_frame_rate(a.fps);
  shot.exposure_s = parse_exposure_s(a.shutter, shot.fps);
  if (mode) {
    shot.rows = mode->rows;
    asked.available = mode->shutters;
  }
  if (a.rows) shot.rows = *a.rows;
  if (!a.readout.empty()) {
    shot.readout_s = parse_readout_s(a.readout);
  } else if (mode && mode->readout_s) {
    shot.readout_s = *mode->readout_s;
  } else {
    shot.readout_s = std::min(assumed_readout_s, shot.fps.frame_s());
    asked.readout_assumed = true;
  }
  return asked;
}

void require_own_outputs(const PredictArguments& a) {
  std::vector<NamedFile> inputs = light_files(a.lights);
  inputs.push_back({"--camera", a.camera.value_or("")});
  refuse_output_over_input(
      {{"--picture", a.picture.value_or("")}, {"--report", a.report.value_or("")}}, inputs);
}

void run(const PredictArguments& a, Session& session) {
  if (a.lights.list_typical) {
    print_text(session, typical_list(session.style));
    return;
  }
  require_own_outputs(a);
  const AskedShot asked = shot_from(a);
  const auto lights = lights_asked_for(a.lights, session);
  Prediction prediction = predict(lights, asked.shot, a.lights.options());
  prediction.available = asked.available;
  if (asked.readout_assumed) {
    prediction.findings.push_back(
        {"readout_assumed",
         "No --readout was given, so a common rolling shutter was assumed (16 ms, or the frame if "
         "shorter). It sets how many bands "
         "there "
         "are, hardly how deep; 'lampbeat footage' measures your camera's."});
  }
  if (a.picture) {
    write_atomically(*a.picture, predicted_frame_png(prediction));
    if (*a.picture != "-") note(session, "drew the predicted frame " + *a.picture);
  }
  if (a.report) {
    write_atomically(*a.report, prediction_html(prediction, companions_of(prediction)));
    if (*a.report != "-") note(session, "wrote the page " + *a.report);
  }
  if (a.json) {
    print_line(to_json(prediction));
  } else {
    print_text(session, to_text(prediction, session.style));
  }
  hold_to_limit(a.limit_percent, depth_of(prediction.worst, prediction.lights), "this shot",
                session);
}

}  // namespace

void add_predict(CLI::App& app, Session& session) {
  auto a = std::make_shared<PredictArguments>();
  CLI::App* command = app.add_subcommand("predict", "what one shot will record under these lights");
  add_light_options(*command, a->lights);
  command->add_option("--fps", a->fps, "frame rate: 24, 29.97, 30000/1001")->type_name("RATE");
  command->add_option("--shutter", a->shutter, "180deg, 172.8deg, 1/60, 16.7ms")
      ->type_name("TIME|ANGLE");
  command->add_option("--readout", a->readout, "first to last row: 16ms, or global (default 16ms)")
      ->type_name("TIME|global");
  command->add_option("--rows", a->rows, "picture height in rows (default 1080)")
      ->type_name("N")
      ->check(number_between(1, 65536, "a number of rows"));
  command->add_option("--picture", a->picture, "draw the predicted frame")->type_name("FILE.png");
  command->add_option("--camera", a->camera, "a camera file: its mode gives what you leave out")
      ->type_name("FILE.json");
  command->add_option("--mode", a->mode, "which of the camera's modes")->type_name("NAME");
  command->add_option("--report", a->report, "write a page to show, print or keep")
      ->type_name("FILE.html");
  add_number(*command, "--limit", a->limit_percent, "PERCENT",
             "exit with 1 when bands or pulsing may exceed this in the worst case")
      ->check(number_between(0, 1e6, "a percentage"));
  command->add_flag("--json", a->json, "one JSON object on standard output");
  command->callback([a, &session] { run(*a, session); });
}

}  // namespace lampbeat::cli
