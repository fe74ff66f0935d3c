#include <algorithm>
#include <cmath>
#include <limits>
#include <memory>

#include "cli/camera_options.hpp"
#include "cli/commands.hpp"
#include "cli/light_options.hpp"
#include "cli/limit.hpp"
#include "cli/numbers.hpp"
#include "cli/output_guard.hpp"
#include "lampbeat/error.hpp"
#include "lampbeat/html.hpp"
#include "lampbeat/json.hpp"
#include "lampbeat/output_file.hpp"
#include "lampbeat/picture.hpp"
#include "lampbeat/room.hpp"
#include "lampbeat/room_file.hpp"
#include "lampbeat/text.hpp"

namespace lampbeat::cli {

namespace {

constexpr double usual_height_m = 1.0;

constexpr const char* what_it_is_not =
    "Light levels are point-by-point arithmetic with the lumens and positions you give: no\n"
    "photometric design, no judgement of glare, no compliance with any code. Swapping fixtures "
    "and\n"
    "moving circuits is work for licensed people. Where whole frames would flash, heed the "
    "warning.";

struct RoomArguments {
  std::string room;
  bool example = false;
  std::string fps;
  std::string shutter;
  CameraArguments camera;
  LightArguments circumstances;
  std::optional<double> height_m;
  std::optional<std::string> map;
  std::optional<std::string> report;
  std::optional<double> limit_percent;
  bool json = false;
};

/// Of a camera's dial, the exposure nearest to half the frame; half of it where it lists none.
double usual_exposure_s(const AskedCamera& camera, FrameRate fps) {
  const double half_s = 0.5 * fps.frame_s();
  double nearest_s = half_s;
  double apart = std::numeric_limits<double>::infinity();
  for (const std::string& shutter : camera.shutters) {
    if (is_shutter_range(shutter)) continue;
    double exposure_s = 0.0;
    try {
      exposure_s = parse_exposure_s(shutter, fps);
    } catch (const UsageError&) {
      continue;  // longer than this mode's frame
    }
    const double stops = std::abs(std::log2(exposure_s / half_s));
    if (stops >= apart) continue;
    apart = stops;
    nearest_s = exposure_s;
  }
  return nearest_s;
}

Shot shot_from(const RoomArguments& a, const AskedCamera& camera) {
  if (a.fps.empty() && !camera.fps) {
    throw UsageError("at which frame rate? give --fps, such as --fps 25, or a --camera file");
  }
  if (a.shutter.empty() && !a.camera.file) {
    throw UsageError(
        "at which shutter? give --shutter, such as --shutter 1/50 or --shutter 180deg");
  }
  const FrameRate fps = a.fps.empty() ? *camera.fps : parse_frame_rate(a.fps);
  const double exposure_s =
      a.shutter.empty() ? usual_exposure_s(camera, fps) : parse_exposure_s(a.shutter, fps);
  return shot_of(fps, exposure_s, camera.readout_s, camera.rows);
}

/// The light on a level a person works at; in a lower room, under its ceiling.
double map_height_m(const RoomArguments& a, const Room& room) {
  return a.height_m.value_or(std::min(usual_height_m, room.size_m.z));
}

/// What is read, once the room file has said which profiles; before that without them.
void require_own_outputs(const RoomArguments& a, const std::vector<LightSource>& sources) {
  std::vector<NamedFile> inputs = {{"the room file", a.room},
                                   {"--camera", a.camera.file.value_or("")}};
  for (const LightSource& source : sources) inputs.push_back({"a profile", source.profile});
  refuse_output_over_input({{"--map", a.map.value_or("")}, {"--report", a.report.value_or("")}},
                           inputs);
}

void write_files(const RoomArguments& a, const RoomResult& result, const Session& session) {
  if (a.map) {
    write_atomically(*a.map, room_map_png(result));
    if (*a.map != "-") note(session, "drew the map " + *a.map);
  }
  if (a.report) {
    write_atomically(*a.report, room_html(result));
    if (*a.report != "-") note(session, "wrote the page " + *a.report);
  }
}

void hold_places_to_limit(const RoomResult& result, std::optional<double> limit_percent,
                          Session& session) {
  if (limit_percent && result.places.empty()) {
    hold_to_limit(limit_percent, {std::nullopt, "it names no places"}, "this room", session);
  }
  for (const PlaceResult& p : result.places) {
    const Depth depth = p.prediction ? depth_of(p.prediction->worst, p.prediction->lights)
                                     : Depth{std::nullopt, "no light of the room falls on it"};
    hold_to_limit(limit_percent, depth, "'" + p.place.name + "'", session);
  }
}

void run(const RoomArguments& a, Session& session) {
  if (a.example) {
    write_atomically("-", example_room());
    return;
  }
  if (a.room.empty()) {
    throw UsageError(
        "which room? name a room file ('lampbeat room --example > room.json' writes one to start "
        "from)");
  }
  require_own_outputs(a, {});
  const bool silent = take_standard_output({{"--map", a.map.value_or("")},
                                            {"--report", a.report.value_or("")},
                                            {"--json", a.json ? "-" : ""}});
  const AskedCamera camera = camera_asked_for(a.camera);
  RoomRequest request;
  request.shot = shot_from(a, camera);
  request.options = a.circumstances.options();
  request.available = camera.shutters;
  const RoomFile file = read_room(a.room);
  require_own_outputs(a, file.sources);
  const Room room = lit_room(file, request.options.mains_hz, [&](const std::string& path) {
    return light_from_file(path, session);
  });
  request.map_height_m = map_height_m(a, room);
  const RoomResult result = judge_room(room, request);
  write_files(a, result, session);
  if (a.json) {
    print_line(to_json(result));
  } else if (!silent) {
    print_text(session, to_text(result, session.style));
  }
  hold_places_to_limit(result, a.limit_percent, session);
}

}  // namespace

void add_room(CLI::App& app, Session& session) {
  auto a = std::make_shared<RoomArguments>();
  CLI::App* command =
      app.add_subcommand("room", "where in a room one can film, and what to change where not");
  command->footer(what_it_is_not);
  command->add_option("ROOM", a->room, "a room file: size, fixtures, places (- reads a pipe)");
  command->add_flag("--example", a->example,
                    "write a room file to start from, with comments, to standard output");
  command->add_option("--fps", a->fps, "frame rate: 24, 29.97, 30000/1001")->type_name("RATE");
  command
      ->add_option("--shutter", a->shutter,
                   "180deg, 172.8deg, 1/60, 16.7ms (with a --camera file: the one nearest 180deg)")
      ->type_name("TIME|ANGLE");
  add_camera_options(*command, a->camera);
  add_circumstance_options(*command, a->circumstances);
  add_number(*command, "--height", a->height_m, "M",
             "map the floor this far above it, in metres (default 1)")
      ->check(number_between(0, 1000, "a height in metres"));
  command
      ->add_option("--map", a->map,
                   "draw the floor: where bands would show, fixtures numbered, places lettered")
      ->type_name("FILE.png");
  command->add_option("--report", a->report, "write a page to show, print or keep")
      ->type_name("FILE.html");
  add_number(*command, "--limit", a->limit_percent, "PERCENT",
             "exit with 1 when bands or pulsing may exceed this at any place in the worst case")
      ->check(number_between(0, 1e6, "a percentage"));
  command->add_flag("--json", a->json, "one JSON object on standard output");
  command->callback([a, &session] { run(*a, session); });
}

}  // namespace lampbeat::cli
