#include "cli/camera_options.hpp"

#include "cli/numbers.hpp"
#include "lampbeat/camera_file.hpp"
#include "lampbeat/error.hpp"

namespace lampbeat::cli {

void add_camera_options(CLI::App& command, CameraArguments& a) {
  command
      .add_option("--readout", a.readout,
                  "first to last row: 16ms, or global (default: the camera file's, else 16ms or "
                  "the frame if that is shorter)")
      ->type_name("TIME|global");
  command.add_option("--rows", a.rows, "picture height in rows (default 1080)")
      ->type_name("N")
      ->check(number_between(1, 65536, "a number of rows"));
  command.add_option("--camera", a.file, "a camera file: its mode gives what you leave out")
      ->type_name("FILE.json");
  command.add_option("--mode", a.mode, "which of the camera's modes")->type_name("NAME");
}

AskedCamera camera_asked_for(const CameraArguments& a) {
  if (!a.file && !a.mode.empty()) {
    throw UsageError("--mode needs a --camera file to look it up in");
  }
  AskedCamera asked;
  if (a.file) {
    const Camera camera = read_camera(*a.file);
    const CameraMode& mode = mode_named(camera, a.mode);
    asked = {mode.fps, mode.readout_s, mode.rows, mode.shutters};
  }
  if (a.rows) asked.rows = *a.rows;
  if (!a.readout.empty()) asked.readout_s = parse_readout_s(a.readout);
  return asked;
}

}  // namespace lampbeat::cli
