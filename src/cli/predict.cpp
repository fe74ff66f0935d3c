#include <memory>

#include "cli/camera_options.hpp"
#include "cli/commands.hpp"
#include "cli/light_options.hpp"
#include "cli/limit.hpp"
#include "cli/numbers.hpp"
#include "lampbeat/advice.hpp"
#include "lampbeat/companions.hpp"
#include "lampbeat/error.hpp"
#include "lampbeat/html.hpp"
#include "lampbeat/json.hpp"
#include "lampbeat/output_file.hpp"
#include "lampbeat/picture.hpp"
#include "lampbeat/text.hpp"

namespace lampbeat::cli {

namespace {

struct PredictArguments {
  LightArguments lights;
  std::string fps;
  std::string shutter;
  CameraArguments camera;
  std::optional<std::string> picture;
  std::optional<std::string> report;
  std::optional<double> limit_percent;
  bool json = false;
};

/// What the camera file says, unless the command line says otherwise.
Shot shot_from(const PredictArguments& a, const AskedCamera& camera) {
  if (a.fps.empty() && !camera.fps) {
    throw UsageError("at which frame rate? give --fps, such as --fps 25 or --fps 29.97");
  }
  if (a.shutter.empty()) {
    throw UsageError(
        "at which shutter? give --shutter, such as --shutter 1/50 or --shutter 180deg");
  }
  const FrameRate fps = a.fps.empty() ? *camera.fps : parse_frame_rate(a.fps);
  return shot_of(fps, parse_exposure_s(a.shutter, fps), camera.readout_s, camera.rows);
}

void require_own_outputs(const PredictArguments& a) {
  std::vector<NamedFile> inputs = light_files(a.lights);
  inputs.push_back({"--camera", a.camera.file.value_or("")});
  refuse_output_over_input(
      {{"--picture", a.picture.value_or("")}, {"--report", a.report.value_or("")}}, inputs);
}

void run(const PredictArguments& a, Session& session) {
  if (a.lights.list_typical) {
    print_text(session, typical_list(session.style));
    return;
  }
  require_own_outputs(a);
  const bool silent = take_standard_output({{"--picture", a.picture.value_or("")},
                                            {"--report", a.report.value_or("")},
                                            {"--json", a.json ? "-" : ""}});
  const AskedCamera camera = camera_asked_for(a.camera);
  const Shot shot = shot_from(a, camera);
  const auto lights = lights_asked_for(a.lights, session);
  const Prediction prediction = predict(lights, shot, a.lights.options());
  if (a.picture) {
    write_atomically(*a.picture, predicted_frame_png(prediction));
    if (*a.picture != "-") note(session, "drew the predicted frame " + *a.picture);
  }
  const auto asked = shutter_notation(a.shutter);
  if (a.report) {
    write_atomically(
        *a.report, prediction_html(prediction, companions_of(prediction, camera.shutters, asked)));
    if (*a.report != "-") note(session, "wrote the page " + *a.report);
  }
  const std::vector<std::string> advice = advise(prediction, camera.shutters, asked);
  if (a.json) {
    print_line(to_json(prediction, advice, ways_out(prediction, camera.shutters, asked)));
  } else if (!silent) {
    print_text(session, to_text(prediction, advice, session.style));
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
  add_camera_options(*command, a->camera);
  command->add_option("--picture", a->picture, "draw the predicted frame")->type_name("FILE.png");
  command->add_option("--report", a->report, "write a page to show, print or keep")
      ->type_name("FILE.html");
  add_number(*command, "--limit", a->limit_percent, "PERCENT",
             "exit with 1 when bands or pulsing may exceed this in the worst case")
      ->check(number_between(0, 1e6, "a percentage"));
  command->add_flag("--json", a->json, "one JSON object on standard output");
  command->callback([a, &session] { run(*a, session); });
}

}  // namespace lampbeat::cli
