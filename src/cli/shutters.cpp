#include <fmt/format.h>

#include <algorithm>
#include <memory>

#include "cli/camera_options.hpp"
#include "cli/commands.hpp"
#include "cli/light_options.hpp"
#include "cli/limit.hpp"
#include "cli/numbers.hpp"
#include "lampbeat/advice.hpp"
#include "lampbeat/error.hpp"
#include "lampbeat/html.hpp"
#include "lampbeat/json.hpp"
#include "lampbeat/output_file.hpp"
#include "lampbeat/shutters.hpp"
#include "lampbeat/text.hpp"
#include "lampbeat/wall_card.hpp"

namespace lampbeat::cli {

namespace {

struct ShuttersArguments {
  LightArguments lights;
  std::vector<std::string> fps;
  std::vector<std::string> available;
  CameraArguments camera;
  std::optional<std::string> report;
  std::optional<double> limit_percent;
  bool all = false;
  bool json = false;
};

/// What the camera file says, unless the command line says otherwise.
PlanRequest plan_asked_for(const ShuttersArguments& a) {
  const AskedCamera camera = camera_asked_for(a.camera);
  PlanRequest request;
  request.options = a.lights.options();
  request.available = a.available.empty() ? camera.shutters : a.available;
  request.readout_s = camera.readout_s;
  request.rows = camera.rows;
  refuse_decimal_commas(a.fps);
  for (const std::string& fps : a.fps) request.frame_rates.push_back(parse_frame_rate(fps));
  if (request.frame_rates.empty() && camera.fps) request.frame_rates = {*camera.fps};
  if (request.frame_rates.empty()) {
    throw UsageError(
        "at which frame rates? give --fps, such as --fps 25 or --fps 24,29.97,60, or a --camera "
        "file");
  }
  return request;
}

/// Says at which frame rates no setting is within the limit in its worst case.
void hold_each_rate_to_limit(const ShutterPlan& plan, double limit_percent, Session& session) {
  for (const FrameRateOutlook& o : plan.outlooks) {
    const bool possible =
        std::any_of(plan.settings.begin(), plan.settings.end(), [&](const Setting& s) {
          return s.fps == o.fps && within(depth_of(s.worst, plan.lights), limit_percent);
        });
    if (possible) continue;
    session.exit_code = 1;
    note(session, fmt::format("{} fps: no shutter keeps bands and pulsing within {:g} %",
                              frame_rate_label(o.fps), limit_percent));
  }
}

void run(const ShuttersArguments& a, Session& session) {
  if (a.lights.list_typical) {
    print_text(session, typical_list(session.style));
    return;
  }
  std::vector<NamedFile> inputs = light_files(a.lights);
  inputs.push_back({"--camera", a.camera.file.value_or("")});
  refuse_output_over_input({{"--report", a.report.value_or("")}}, inputs);
  const PlanRequest request = plan_asked_for(a);
  const auto lights = lights_asked_for(a.lights, session);
  const ShutterPlan plan = plan_shutters(lights, request);
  if (a.report) write_atomically(*a.report, wall_card_html(plan, wall_card(plan)));
  const std::vector<std::string> advice = advise(plan);
  if (a.json) {
    print_line(to_json(plan, advice));
  } else {
    std::optional<std::size_t> per_frame_rate;
    if (a.all) per_frame_rate = plan.settings.size();
    print_text(session, to_text(plan, advice, session.style, per_frame_rate));
  }
  if (a.limit_percent) hold_each_rate_to_limit(plan, *a.limit_percent, session);
}

}  // namespace

void add_shutters(CLI::App& app, Session& session) {
  auto a = std::make_shared<ShuttersArguments>();
  CLI::App* command =
      app.add_subcommand("shutters", "which shutters suit these lights, best first");
  add_light_options(*command, a->lights);
  command->add_option("--fps", a->fps, "frame rates: 25 or 24,29.97,60; repeatable")
      ->type_name("LIST")
      ->delimiter(',')
      ->expected(1)
      ->take_all();
  command
      ->add_option("--available", a->available,
                   "shutters the camera offers: 1/50,1/60,180deg, and ranges of what can be set "
                   "finely: 1/24..1/2000:0.1 (in steps of the denominator), "
                   "11.2deg..360deg:0.1, 0.5ms..40ms:0.01, any (default: customary steps and "
                   "every exposure of whole light cycles)")
      ->type_name("LIST")
      ->delimiter(',')
      ->expected(1)
      ->take_all();
  add_camera_options(*command, a->camera);
  command->add_option("--report", a->report, "write a card for the wall, to print")
      ->type_name("FILE.html");
  add_number(*command, "--limit", a->limit_percent, "PERCENT",
             "exit with 1 when some frame rate has no shutter with bands and pulsing within this "
             "in the worst case")
      ->check(number_between(0, 1e6, "a percentage"));
  command->add_flag("--all", a->all, "list every setting, not only the best");
  command->add_flag("--json", a->json, "one JSON object on standard output");
  command->callback([a, &session] { run(*a, session); });
}

}  // namespace lampbeat::cli
