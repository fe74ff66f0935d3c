#include <map>
#include <numbers>

#include "cli/contract.hpp"
#include "lampbeat/typical.hpp"
#include "support/clip_renderer.hpp"
#include "support/places.hpp"

// The example kitchen of captures/, filmed at three places: clips rendered by brute force from the
// shares of its fixtures, each turned by its supply phase, against what `room` said of the place
// and of the map's cell around it, as `footage` measures them.

using namespace lampbeat;
using namespace lampbeat::test;

namespace {

const std::string kitchen = places::sources() + "/captures/kitchen-room.json";

/// How much later than on L1 a conductor's voltage comes: thirds of a mains cycle.
double late_s(const std::string& phase, double mains_hz) {
  const std::map<std::string, double> thirds = {{"L1", 0.0}, {"L2", 1.0}, {"L3", 2.0}};
  return thirds.at(phase) / 3.0 / mains_hz;
}

/// The light of one place, lamp by lamp.
Light light_on(const Json& place, const Json& room) {
  Light light;
  const double mains_hz = room["mains_hz"];
  for (const Json& share : place["shares"]) {
    for (const Json& fixture : room["fixtures"]) {
      if (fixture["name"] != share["fixture"]) continue;
      const double late =
          fixture.contains("phase") ? late_s(fixture["phase"].get<std::string>(), mains_hz) : 0.0;
      for (LightComponent c :
           typical_light(fixture["typical"].get<std::string>(), mains_hz).components) {
        c.amplitude *= share["share"].get<double>();
        c.phase_rad -= 2.0 * std::numbers::pi * c.hz * late;
        light.components.push_back(c);
      }
    }
  }
  return light;
}

}  // namespace

TEST_CASE("clips of the example kitchen show at its places what room and its map say") {
  const Json room = Json::parse(contents_of(kitchen));
  const Json said = answer("room '" + kitchen + "' --fps 25 --shutter 1/500 --readout 16ms");
  REQUIRE(said["places"].size() == 3);
  const ScratchFolder folder("kitchen-filmed");
  double deepest = 0.0;
  double shallowest = 100.0;
  for (const Json& place : said["places"]) {
    FilmedScene scene;
    scene.light = light_on(place, room);
    scene.exposure_s = 1.0 / 500.0;
    scene.noise = 0.01;
    FilmedClip clip(scene);
    write_y4m(clip, folder.file("clip.y4m"));
    const Json filmed = answer("footage " + folder.file("clip.y4m") + " --light-hz 120");
    INFO(place["place"] << ": " << filmed.dump());
    const double promised = place["as_measured"]["band_percent"];
    const double off = std::abs(filmed["band_percent"].get<double>() - promised);
    CHECK(off <= 3.0 * filmed["band_percent_uncertainty"].get<double>());
    CHECK(off <= 0.02 * promised);
    CHECK(filmed["readout_s"].get<double>() == Approx(0.016).epsilon(0.02));
    // The places stand in the middle of cells of the map.
    const auto index = [&](const char* axis, double at_m) {
      const std::vector<double> middles = said["map"][axis];
      const auto found = std::find_if(middles.begin(), middles.end(),
                                      [&](double m) { return std::abs(m - at_m) < 1e-9; });
      REQUIRE(found != middles.end());
      return static_cast<std::size_t>(found - middles.begin());
    };
    const std::size_t row = index("y_m", place["at_m"][1]);
    const std::size_t column = index("x_m", place["at_m"][0]);
    CHECK(said["map"]["visibility"][row][column].get<double>() ==
          Approx(place["visibility"].get<double>()));
    deepest = std::max(deepest, promised);
    shallowest = std::min(shallowest, promised);
  }
  // Three places alike would prove little.
  CHECK(deepest > 1.5 * shallowest);
}
