#include <fmt/format.h>

#include <memory>
#include <optional>
#include <string>
#include <vector>

#include "cli/clip_options.hpp"
#include "cli/commands.hpp"
#include "cli/limit.hpp"
#include "cli/log_options.hpp"
#include "cli/numbers.hpp"
#include "cli/output_guard.hpp"
#include "cli/saved_camera.hpp"
#include "lampbeat/camera.hpp"
#include "lampbeat/camera_file.hpp"
#include "lampbeat/error.hpp"
#include "lampbeat/footage.hpp"
#include "lampbeat/html.hpp"
#include "lampbeat/json.hpp"
#include "lampbeat/light_profile.hpp"
#include "lampbeat/output_file.hpp"
#include "lampbeat/text.hpp"

namespace lampbeat::cli {

namespace {

struct FootageArguments {
  std::string clip;
  ClipArguments reading;
  LogArguments log;
  std::vector<std::string> lights;
  std::string save_light;
  std::string save_camera;
  std::string camera_name;
  std::string mode;
  std::string report;
  std::optional<double> limit_percent;
  bool json = false;
};

std::vector<Light> suspects_in(const FootageArguments& a) {
  std::vector<Light> suspects;
  for (const std::string& path : a.lights) suspects.push_back(read_light_profile(path));
  return suspects;
}

/// Adds the measured mode to the camera's file, or begins one.
void save_camera(const FootageArguments& a, const FootageResult& result, Session& session) {
  if (!result.readout_s) {
    session.exit_code = 1;
    note(session, fmt::format("{} was not written: no readout time was measured", a.save_camera));
    return;
  }
  if (!result.fps) {
    throw UsageError("--save-camera needs --fps with a photograph, which has no frame rate");
  }
  const Camera camera = with_readout(camera_to_complete(a.save_camera, a.camera_name),
                                     {*result.readout_s, *result.fps, result.rows}, a.mode);
  write_atomically(a.save_camera, camera_json(camera));
  note(session, fmt::format("saved the readout to {}", a.save_camera));
}

void save_light(const FootageArguments& a, const FootageResult& result, Session& session) {
  if (!result.light || result.light->components.empty()) {
    session.exit_code = 1;
    note(session,
         fmt::format("{} was not written: the light was not recovered; that takes {}", a.save_light,
                     result.transfer_doubt
                         ? "the right curve, see above"
                         : "--shutter and --light-hz or --readout, and bands in the clip"));
    return;
  }
  write_atomically(a.save_light, light_profile(*result.light));
  note(session, fmt::format("saved the light to {}", a.save_light));
}

void require_own_outputs(const FootageArguments& a) {
  std::vector<NamedFile> inputs = {{"the clip", a.clip}, {"--reference", a.reading.reference}};
  for (const std::string& path : a.lights) inputs.push_back({"--light", path});
  refuse_output_over_input({{"--save", a.save_light},
                            {"--save-camera", a.save_camera},
                            {"--report", a.report},
                            {"--log", a.log.path.value_or("")}},
                           inputs);
}

void run(const FootageArguments& a, Session& session) {
  if (!a.save_light.empty() && a.reading.shutter.empty()) {
    throw UsageError(
        "--save needs --shutter: only with the exposure known can the light be worked back");
  }
  if (a.save_camera.empty() && !a.mode.empty()) {
    throw UsageError("--mode says which mode --save-camera fills in, and needs it");
  }
  if (!a.save_camera.empty() && !a.reading.light_hz) {
    throw UsageError("--save-camera needs --light-hz: a light of known frequency times the rows");
  }
  if (a.clip == "-" && a.reading.reference == "-") {
    throw UsageError("only one of the clip and its reference can come from standard input");
  }
  a.log.check({a.clip});
  require_own_outputs(a);
  const FootageResult result = measure_clip(a.clip, a.reading, suspects_in(a));
  const std::string line = to_json(result);
  if (a.json) {
    print_line(line);
  } else {
    print_text(session, to_text(result, session.style));
  }
  if (!a.report.empty()) {
    write_atomically(a.report, footage_html(result));
    if (a.report != "-") note(session, "wrote the page " + a.report);
  }
  if (a.log.path) log_result(a.log, line, a.clip);
  if (!a.save_light.empty()) save_light(a, result, session);
  if (!a.save_camera.empty()) save_camera(a, result, session);
  hold_to_limit(a.limit_percent, depth_of(result), a.clip, session);
}

}  // namespace

void add_footage(CLI::App& app, Session& session) {
  auto a = std::make_shared<FootageArguments>();
  CLI::App* command =
      app.add_subcommand("footage", "what a camera recorded: bands, roll, readout, the light");
  command->footer(
      "MP4, MOV, MKV, WebM and other clips and JPEG stills open where lampbeat was built with\n"
      "FFmpeg's libraries; elsewhere, and to cut or filter on the way, clips come through a pipe:\n"
      "  ffmpeg -v error -noautorotate -i clip.mp4 -f yuv4mpegpipe -strict -1 - | lampbeat footage "
      "-\n"
      "Film two seconds or more of a plain wall, on a tripod, at a short shutter (1/500), at\n"
      "mid-grey, exposure and white balance locked: at 25 frames a second where the mains has 60 "
      "Hz\n"
      "and at 30 where it has 50, so that bands roll. Bands that stand still look like the wall.");
  command
      ->add_option("CLIP", a->clip,
                   "a clip (MP4, MOV, MKV, YUV4MPEG2 …) or '-', or a JPEG, PNG or PGM still")
      ->required()
      ->type_name("CLIP|-");
  add_clip_options(*command, a->reading);
  command
      ->add_option("--light", a->lights,
                   "profile of a light in the room (repeatable): says which one it was")
      ->type_name("LIGHT.json")
      ->expected(1)
      ->take_all();
  command->add_option("--save", a->save_light, "write the light as a profile for predict and rate")
      ->type_name("LIGHT.json");
  command
      ->add_option("--save-camera", a->save_camera,
                   "write the readout into a camera file for predict and shutters: a new one, or "
                   "the mode it was filmed in of one that is there")
      ->type_name("CAMERA.json");
  command->add_option("--mode", a->mode, "which mode of that camera, or what to call a new one")
      ->type_name("NAME");
  command->add_option("--camera-name", a->camera_name, "the camera's name in that file")
      ->type_name("NAME");
  command->add_option("--report", a->report, "write a page to show, print or keep")
      ->type_name("FILE.html");
  add_log_options(*command, a->log);
  add_number(*command, "--limit", a->limit_percent, "PERCENT",
             "exit with 1 when bands or pulsing are deeper, or it was not decided")
      ->check(number_between(0.0, 100.0, "a percentage"));
  command->add_flag("--json", a->json, "one line of JSON");
  command->callback([a, &session] { run(*a, session); });
}

}  // namespace lampbeat::cli
