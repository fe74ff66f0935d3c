#include <fmt/format.h>

#include <filesystem>
#include <nlohmann/json.hpp>
#include <random>

#include "cli/rate_shell.hpp"
#include "support/catch.hpp"
#include "support/draws.hpp"

// A light that was saved is rated as its capture was.

using nlohmann::json;
using namespace lampbeat::test;
using rate_shell::make_capture;
using rate_shell::quoted;

namespace {

json rated(const std::string& arguments) {
  const RunResult ran = run_lampbeat("rate --json " + arguments);
  INFO(arguments << ": " << ran.err);
  REQUIRE(json::accept(ran.out));
  return json::parse(ran.out);
}

/// A profile as somebody types it in, or as `footage` saves it: rhythms and nothing more.
void write_rhythms(const std::filesystem::path& path, double hz, double percent) {
  std::ofstream(path)
      << json{{"schema", "lampbeat.light/1"},
              {"name", "typed in"},
              {"components",
               {{{"hz", hz}, {"percent", percent}, {"phase_deg", 0}, {"mains_order", nullptr}}}}}
             .dump(2);
}

}  // namespace

TEST_CASE("a saved light is rated as its capture, whatever the light") {
  const ScratchFolder folder("rate_saved");
  std::mt19937 random(2342);
  for (int i = 0; i < draws(60); ++i) {
    const auto capture = folder.file(fmt::format("lamp{}.wav", i));
    const auto saved = folder.file(fmt::format("kept{}.json", i));
    const double slow_hz =
        between(random, 0, 1) < 0.5 ? between(random, 99.7, 100.3) : between(random, 300, 4000);
    std::string light = fmt::format("--component {}:{}", slow_hz, between(random, 0.02, 60));
    if (between(random, 0, 1) < 0.4)
      light += fmt::format(" --component {}:{}", between(random, 5e3, 9e3), 20);
    REQUIRE(run_lampbeat(fmt::format("synth {} {} --noise 0.2 --seconds 1.5 --rate 20000 --seed {}",
                                     quoted(capture), light, i))
                .exit_code == 0);
    REQUIRE(run_lampbeat("measure " + quoted(capture) + " --save " + quoted(saved)).exit_code == 0);
    json measured = rated(quoted(capture))["fixtures"];
    json kept = rated(quoted(saved))["fixtures"];
    INFO(light);
    REQUIRE(kept.size() == measured.size());  // none where its depth was withheld
    if (kept.empty()) continue;
    measured = measured[0];
    kept = kept[0];
    for (const char* own : {"fixture", "capture"}) {
      measured.erase(own);
      kept.erase(own);
    }
    CHECK(kept == measured);
  }
}

TEST_CASE("a saved light without its measurement is rated by its rhythms") {
  const ScratchFolder folder("rate_rhythms");
  write_rhythms(folder.file("typed.json"), 433.0, 12.0);
  const json fixture = rated(quoted(folder.file("typed.json")))["fixtures"][0];
  CHECK(fixture["percent_flicker"].get<double>() == Approx(12.0).margin(0.01));
  CHECK(fixture["dominant_hz"] == 433.0);
  CHECK(fixture["flicker_index"].is_null());
  CHECK(fixture["ieee1789"]["level"] == "no observable effect");  // 0.0333·433 = 14.4 %
  CHECK(run_lampbeat("rate --limit 11 " + quoted(folder.file("typed.json"))).exit_code == 1);
  CHECK(run_lampbeat("rate --limit 13 " + quoted(folder.file("typed.json"))).exit_code == 0);
}

TEST_CASE("a folder's saved lights are rated, but not beside their own captures") {
  const ScratchFolder folder("rate_saved_folder");
  make_capture(folder.file("panel.wav"), 20);
  REQUIRE(run_lampbeat("measure " + quoted(folder.file("panel.wav")) + " --save " +
                       quoted(folder.file("panel.json")))
              .exit_code == 0);
  write_rhythms(folder.file("clip.json"), 120.0, 5.0);
  std::ofstream(folder.file("camera.json"))
      << R"({"schema": "lampbeat.camera/1", "name": "cam", "modes": []})";
  const json document = rated(quoted(folder.path()));
  REQUIRE(document["fixtures"].size() == 2);
  CHECK(document["fixtures"][0]["fixture"] == "clip");
  CHECK(document["fixtures"][1]["fixture"] == "panel");
  std::ofstream(folder.file("shelf.csv")) << "fixture,capture,dark\n"
                                             "tube,clip.json,\n"
                                             "pendant,clip.json,0.01\n";
  const RunResult shelf = run_lampbeat("rate --json " + quoted(folder.file("shelf.csv")));
  CHECK(shelf.exit_code == 3);
  const json named = json::parse(shelf.out);
  CHECK(named["fixtures"][0]["fixture"] == "tube");
  CHECK(named["failed"][0]["fixture"] == "pendant");
}

TEST_CASE("a light in which much could hide, and a spoilt profile, are not ranked") {
  const ScratchFolder folder("rate_saved_spoilt");
  std::ofstream(folder.file("noisy.json"))
      << R"({"schema": "lampbeat.light/1", "noise_percent": 3, "components": []})";
  std::ofstream(folder.file("spoilt.json"))
      << R"({"schema": "lampbeat.light/1", "components": [], "figures": {"svm": -1}})";
  for (const char* name : {"noisy.json", "spoilt.json"}) {
    const RunResult ran = run_lampbeat("rate --json " + quoted(folder.file(name)));
    CHECK(ran.exit_code == 3);
    CHECK(json::parse(ran.out)["fixtures"].empty());
  }
}
