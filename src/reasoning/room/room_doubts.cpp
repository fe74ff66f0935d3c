#include "reasoning/room/room_doubts.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "reasoning/room/vectors.hpp"
#include "reasoning/room/worst_of.hpp"
#include "words/foreign_text.hpp"
#include "words/lists.hpp"
#include "words/numbers.hpp"

namespace lampbeat::reasoning::room {
namespace {

/// "'hood' and 'worktop strip'", "'hood', 'worktop strip' and 3 more".
std::string names_of(const std::vector<std::string>& names) {
  constexpr std::size_t told = 4;
  constexpr int name_columns = 32;
  std::vector<std::string> quoted;
  for (const std::string& name : names) {
    if (quoted.size() == told - 1 && names.size() > told) {
      quoted.push_back(fmt::format("{} more", names.size() - quoted.size()));
      break;
    }
    quoted.push_back("'" + words::shown_name(name, name_columns) + "'");
  }
  return words::listed(quoted);
}

template <typename Is>
std::vector<std::string> names_where(const Room& room, Is is) {
  std::vector<std::string> names;
  for (const Fixture& fixture : room.fixtures) {
    if (is(fixture)) names.push_back(fixture.name);
  }
  return names;
}

bool inside(double at_m, double side_m) {
  constexpr double rounding_m = 1e-6;
  return at_m >= -rounding_m && at_m <= side_m + rounding_m;
}

bool reaches_outside(const Fixture& fixture, const Vector3& size_m) {
  const auto out = [&](double along_m) {
    const Vector3 end = plus(fixture.at_m, times(along_m, fixture.along));
    return !(inside(end.x, size_m.x) && inside(end.y, size_m.y) && inside(end.z, size_m.z));
  };
  return out(0.5 * fixture.length_m) || out(-0.5 * fixture.length_m);
}

}  // namespace

Findings doubts_about(const Room& room, const RoomRequest& asked) {
  Findings findings = room.findings;
  const auto typical = names_where(room, [](const Fixture& f) {
    return f.light.depth == DepthKnown::typical && !f.light.components.empty() && f.dim > 0.0;
  });
  if (!typical.empty()) {
    findings.push_back(
        {"typical_lights",
         fmt::format("A typical figure of their kind stands in for {}: two lamps of a kind differ "
                     "by a factor of two easily. Measure them before you rely on this.",
                     names_of(typical))});
  }
  if (room.reflected_share_assumed) {
    findings.push_back(
        {"reflected_share_assumed",
         fmt::format("The room file does not say how much light walls, floor and ceiling throw "
                     "back, so {:g} of it is taken (common practice for light walls). Say "
                     "\"reflected_share\" where you know better.",
                     room.reflected_share)});
  }
  const auto dimmed =
      names_where(room, [](const Fixture& f) { return f.dim > 0.0 && f.dim < 1.0; });
  if (!dimmed.empty()) {
    findings.push_back(
        {"dimmed",
         fmt::format("Dimmed here: {}. \"dim\" takes light away and leaves the flicker as it was "
                     "measured, but most lamps flicker differently when dimmed. Measure them at "
                     "that level, or nothing said about them is proved.",
                     names_of(dimmed))});
  }
  const auto outside =
      names_where(room, [&](const Fixture& f) { return reaches_outside(f, room.size_m); });
  if (!outside.empty()) {
    findings.push_back({"reaches_outside",
                        fmt::format("An end of {} lies outside the room: \"at_m\" is the middle of "
                                    "a tube. The light is reckoned as written.",
                                    names_of(outside))});
  }
  const auto unknown = names_where(room, [](const Fixture& f) {
    return f.conductor == Conductor::unknown && f.light.mains_hz && f.dim > 0.0;
  });
  const bool some_known =
      std::any_of(room.fixtures.begin(), room.fixtures.end(),
                  [](const Fixture& f) { return f.conductor != Conductor::unknown; });
  if (!unknown.empty() && some_known) {
    findings.push_back(
        {"phase_unknown", fmt::format("No supply phase is given for {}, judged as if they met the "
                                      "others in the worst way.",
                                      names_of(unknown))});
  }
  if (asked.shot.readout_assumed) findings.push_back(assumed_readout_finding({&asked.shot.fps, 1}));
  findings.push_back(
      {"no_photometric_design",
       "The light levels are point-by-point arithmetic with the lumens, beams and positions of the "
       "file: good for telling which lamp lights what, and no photometric design. Nothing here "
       "judges glare or whether an installation meets any code."});
  findings.push_back(
      {"licensed_work",
       "Swapping fixtures and moving circuits is work for licensed people under your local codes. "
       "Never open a fixture or a panel to try it."});
  return findings;
}

void note_reliance_on_conductors(PlaceResult& place, const Room& room, const RoomRequest& request) {
  Room in_step = room;
  bool several = false;
  Conductor first = Conductor::unknown;
  for (const FixtureShare& s : place.shares) {
    Conductor& conductor = in_step.fixtures[s.fixture].conductor;
    if (first == Conductor::unknown) first = conductor;
    several = several || (conductor != Conductor::unknown && conductor != first);
    conductor = Conductor::unknown;
  }
  if (!several) return;
  const Recorded worst = worst_of(lights_on(in_step, place.shares), request);
  if (worst.verdict <= place.prediction->worst.verdict) return;
  place.findings.push_back(
      {"relies_on_phases",
       fmt::format(
           "This is so because alike fixtures hang on different supply phases and fill each "
           "other's dips. In step they would be {}. It holds while all of them are lit, "
           "alike and wired as the file says: prove it with a clip.",
           verdict_word(worst.verdict))});
}

}  // namespace lampbeat::reasoning::room
