#include <cstdlib>

#include "cli/rate_shell.hpp"
#include "lampbeat/camera.hpp"
#include "lampbeat/camera_file.hpp"
#include "lampbeat/json.hpp"
#include "report/example_values.hpp"
#include "support/catch.hpp"

using namespace lampbeat;

namespace {

/// Debian's own Python has the package even where another Python comes first on the path.
std::string python() {
  for (const char* candidate : {"python3", "/usr/bin/python3"}) {
    const std::string probe = std::string(candidate) + " -c 'import jsonschema' 2>/dev/null";
    if (rate_shell::run(probe).status == 0) return candidate;
  }
  return {};
}

void holds(const std::string& schema, const std::string& json) {
  const auto folder = rate_shell::fresh_folder("schema_" + schema);
  const auto document = folder / "document.json";
  std::ofstream(document, std::ios::binary) << json;
  const auto ran = rate_shell::run(python() +
                                   " -W ignore '" LAMPBEAT_SOURCE_DIR
                                   "/tests/report/check_schema.py' '" LAMPBEAT_SOURCE_DIR
                                   "/src/report/schemas/" +
                                   schema + ".schema.json' '" + document.string() + "'");
  INFO(schema << ": " << ran.out);
  CHECK(ran.status == 0);
}

}  // namespace

TEST_CASE("every document holds to its published schema, and the schemas refuse what they should") {
  if (python().empty()) {
    const char* why = "python3-jsonschema is not installed (apt install python3-jsonschema)";
    if (std::getenv("CI")) FAIL(why);
    WARN("skipped: " << why);
    return;
  }
  const auto folder = rate_shell::fresh_folder("schema_inputs");
  const std::string capture = "'" + (folder / "a.wav").string() + "'";
  const std::string profile = (folder / "a.json").string();
  rate_shell::make_capture(folder / "a.wav", 30);

  holds("measure",
        rate_shell::lampbeat("measure --json " + capture + " --save '" + profile + "'").out);
  holds("light", rate_shell::contents(profile));
  holds("rate", rate_shell::lampbeat("rate --json /no/such.wav " + capture).out);
  const std::string light = " --light '" + profile + "' ";
  holds("predict",
        rate_shell::lampbeat("predict --json" + light + "--fps 25 --shutter 1/50 --readout 16ms")
            .out);
  holds("shutters", rate_shell::lampbeat("shutters --json" + light + "--fps 24,50,120").out);

  // With nothing measured, every figure is null and the document still holds.
  holds("measure", to_json(Measurement{}));
  holds("measure", to_json(example::panel()));
  holds("rate", to_json(example::shelf()));
  FootageResult footage;
  holds("footage", to_json(footage));
  footage.band_percent = 12.0;
  footage.verdict = Verdict::visible;
  footage.lights = {{100.0, 0.1, "twice 50 Hz mains", true}};
  footage.warnings = {{"standing_pattern", "It cannot be told from the scene."}};
  holds("footage", to_json(footage));
  const Camera camera{"bench camera",
                      {{"HD", {25, 1}, 1080, 0.016, {"1/50", "180deg"}},
                       {"Slow", {120000, 1001}, 720, std::nullopt, {}}}};
  holds("camera", camera_json(camera));
}
