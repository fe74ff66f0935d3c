#include "cli/rate_shell.hpp"
#include "lampbeat/camera.hpp"
#include "lampbeat/camera_file.hpp"
#include "lampbeat/json.hpp"
#include "lampbeat/room_file.hpp"
#include "report/example_values.hpp"
#include "support/catch.hpp"
#include "support/places.hpp"
#include "support/skip.hpp"

using namespace lampbeat;
using namespace lampbeat::test;

namespace {

/// Debian's own Python has the package even where another Python comes first on the path.
std::string python() {
  for (const char* candidate : {"python3", "/usr/bin/python3"}) {
    const std::string probe = std::string(candidate) + " -c 'import jsonschema' 2>/dev/null";
    if (run_command(probe).exit_code == 0) return candidate;
  }
  return {};
}

void holds(const std::string& schema, const std::string& json) {
  const ScratchFolder folder("schema_" + schema);
  const auto document = folder.file("document.json");
  std::ofstream(document, std::ios::binary) << json;
  const auto ran = run_command(
      python() + " -W ignore '" + places::sources() + "/tests/report/check_schema.py' '" +
      places::sources() + "/src/report/schemas/" + schema + ".schema.json' '" + document + "'");
  INFO(schema << ": " << ran.out);
  CHECK(ran.exit_code == 0);
}

}  // namespace

TEST_CASE("every document holds to its published schema, and the schemas refuse what they should") {
  if (python().empty()) {
    return passed_over("python3-jsonschema is not installed (apt install python3-jsonschema)");
  }
  const ScratchFolder folder("schema_inputs");
  const std::string capture = rate_shell::quoted(folder.file("a.wav"));
  const std::string profile = folder.file("a.json");
  rate_shell::make_capture(folder.file("a.wav"), 30);

  holds("measure", run_lampbeat("measure --json " + capture + " --save '" + profile + "'").out);
  holds("light", contents_of(profile));
  holds("rate", run_lampbeat("rate --json /no/such.wav " + capture).out);
  const std::string light = " --light '" + profile + "' ";
  holds("predict",
        run_lampbeat("predict --json" + light + "--fps 25 --shutter 1/50 --readout 16ms").out);
  holds("shutters", run_lampbeat("shutters --json" + light + "--fps 24,50,120").out);

  // With nothing measured, every figure is null and the document still holds.
  holds("measure", to_json(Measurement{}));
  holds("measure", to_json(example::panel()));
  holds("live", to_json(LiveReading{}));
  const std::string live = run_lampbeat("measure --live --json " + capture).out;
  holds("live", live.substr(0, live.find('\n')));
  holds("rate", to_json(example::shelf()));
  for (const Comparison& c : example::a_year()) holds("compare", to_json(c));
  holds("compare", run_lampbeat("compare --json " + capture + " " + capture).out);
  const std::string log = folder.file("room.jsonl");
  run_lampbeat("measure " + capture + " --log '" + log + "' --fixture lamp");
  holds("measure", contents_of(log));
  FootageResult footage;
  holds("footage", to_json(footage));
  footage.fps = FrameRate{25, 1};
  footage.band_percent = 12.0;
  footage.verdict = Verdict::visible;
  footage.lights = {{100.0, 0.1, "twice 50 Hz mains", true}};
  footage.warnings = {{"standing_pattern", "It cannot be told from the scene."}};
  holds("footage", to_json(footage));
  const Camera camera{"bench camera",
                      {{"HD", {25, 1}, 1080, 0.016, {"1/50", "180deg"}},
                       {"Slow", {120000, 1001}, 720, std::nullopt, {}}}};
  holds("camera", camera_json(camera));

  const std::string kitchen = folder.file("kitchen.json");
  std::ofstream(kitchen, std::ios::binary) << example_room();
  holds("room-file", example_room());
  const std::string shot = " --fps 25 --shutter 1/50 --readout 16ms";
  holds("room", run_lampbeat("room --json '" + kitchen + "'" + shot).out);
  holds("room", to_json(RoomResult{}));
}
