#include "reasoning/room/one_mains.hpp"

#include <set>
#include <string>
#include <utility>
#include <vector>

#include "reasoning/mixture/mains.hpp"
#include "words/foreign_text.hpp"

namespace lampbeat::reasoning::room {
namespace {

/// Each kind once, called like the first of its fixtures.
std::vector<LightShare> with_a_say(const Room& room) {
  std::vector<LightShare> lights;
  std::set<std::string> kinds;
  for (const bool typical : {false, true}) {
    for (const Fixture& fixture : room.fixtures) {
      if (!gives_light(fixture) || (fixture.light.depth == DepthKnown::typical) != typical)
        continue;
      if (!kinds.insert(fixture.kind).second) continue;
      lights.push_back({fixture.light, 1.0});
      lights.back().light.name = words::shown_name(fixture.name);
    }
  }
  return lights;
}

}  // namespace

OnOneMains on_one_mains(const Room& room, const PredictionOptions& asked) {
  OnOneMains on{room, asked, asked.mains_hz ? asked.mains_hz : room.mains_hz, {}};
  if (on.mains_hz) {
    on.options.mains_hz = on.mains_hz;
    return on;
  }
  mixture::Supply supply = mixture::on_one_mains(with_a_say(room), std::nullopt);
  on.mains_hz = supply.mains_hz;
  on.findings = std::move(supply.findings);
  if (!on.mains_hz) return on;
  for (Fixture& fixture : on.room.fixtures) fixture.light = retuned(fixture.light, *on.mains_hz);
  return on;
}

}  // namespace lampbeat::reasoning::room
