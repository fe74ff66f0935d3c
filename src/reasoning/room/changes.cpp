#include "reasoning/room/changes.hpp"

#include <algorithm>
#include <cmath>

#include "lampbeat/typical.hpp"
#include "reasoning/judge/judged_room.hpp"
#include "reasoning/mixture/series.hpp"
#include "reasoning/room/conductors.hpp"
#include "reasoning/room/worst_of.hpp"
#include "reasoning/shutters/shutters_steadied.hpp"

namespace lampbeat {

std::string action_words(const RoomChange& change) {
  switch (change.action) {
    case RoomAction::switch_off:
      return "switch off";
    case RoomAction::swap:
      return "swap";
    case RoomAction::move:
      return std::string("move to ") + conductor_words(change.conductor);
    case RoomAction::add_steady_light:
      return "add steady light";
  }
  return "";
}

namespace reasoning::room {
namespace {

/// Each needs the judge several times; the brightest matter.
constexpr std::size_t most_fixtures = 12;
/// What goes dark by more than a stop, and what needs more than another stop of light, is no longer
/// the place it was.
constexpr double one_stop = 2.0;
/// More steady light than three stops above what is there nobody brings.
constexpr double most_steady = 7.0;
/// A change that does less is none.
constexpr double worth_it = 0.98;

const Light& steady() {
  static const Light light = typical_light("daylight", 50.0);
  return light;
}

bool flickers(const Light& light) {
  const auto does = [](const auto& state) {
    return !state.components.empty() || !state.unexplained.empty();
  };
  return does(light) || std::any_of(light.other_states.begin(), light.other_states.end(), does);
}

/// The fixtures whose ripple can matter here, brightest first.
std::vector<FixtureShare> to_blame(const Room& room, const PlaceResult& place) {
  std::vector<FixtureShare> blamed;
  for (const FixtureShare& s : place.shares) {
    if (blamed.size() == most_fixtures) break;
    if (s.share >= mixture::weakest_that_matters && flickers(room.fixtures[s.fixture].light)) {
      blamed.push_back(s);
    }
  }
  return blamed;
}

class Changes {
 public:
  Changes(const Room& room, const PlaceResult& place, const RoomRequest& request)
      : room_(room), place_(place), request_(request) {}

  std::optional<RoomChange> switched_off(const FixtureShare& s) const {
    std::vector<FixtureShare> others = place_.shares;
    std::erase_if(others, [&](const FixtureShare& o) { return o.fixture == s.fixture; });
    const double left_lux = lampbeat::illuminance_lux(others);
    // In the dark nothing flickers, and nothing is filmed.
    constexpr double least_left = 0.1;
    if (left_lux < least_left * place_.illuminance_lux) return std::nullopt;
    for (FixtureShare& o : others) o.share = o.lux() / left_lux;
    RoomChange change{RoomAction::switch_off, s.fixture, {}, {}, {}, 0.0, left_lux};
    return judged(change, lights_on(room_, others));
  }

  std::optional<RoomChange> swapped(const FixtureShare& s) const {
    Room after = room_;
    after.fixtures[s.fixture].light = steady();
    after.fixtures[s.fixture].kind = steady().name;
    RoomChange change{RoomAction::swap, s.fixture, {}, {}, {}, 0.0, place_.illuminance_lux};
    return judged(change, lights_on(after, place_.shares));
  }

  std::optional<RoomChange> moved(const FixtureShare& s, Conductor conductor) const {
    const Fixture& fixture = room_.fixtures[s.fixture];
    // From one leg of a split-phase supply to the other, twice the mains stays as it was.
    if (supply_of(fixture.conductor) != Supply::three_phase || fixture.conductor == conductor) {
      return std::nullopt;
    }
    Room after = room_;
    after.fixtures[s.fixture].conductor = conductor;
    RoomChange change{RoomAction::move, s.fixture, conductor, {}, {}, 0.0, place_.illuminance_lux};
    return judged(change, lights_on(after, place_.shares));
  }

  std::optional<RoomChange> steadied() const {
    const Prediction& now = *place_.prediction;
    const auto share =
        shutters::steady_share(judge::judged_room(now)->judge, request_.shot.exposure_s,
                               request_.shot.fps, now.worst.visibility);
    if (!share) return std::nullopt;
    // Told in two digits, rounded up, and a little more until it is proved to do.
    double lux = place_.illuminance_lux * *share / (1.0 - *share);
    constexpr int tries = 4;
    for (int i = 0; i < tries && lux <= most_steady * place_.illuminance_lux; ++i) {
      const double digit = std::pow(10.0, std::floor(std::log10(lux)) - 1.0);
      lux = digit * std::ceil(lux / digit * (1.0 - 1e-12));
      RoomChange change{RoomAction::add_steady_light, {}, {}, lux, {}, 0.0,
                        place_.illuminance_lux + lux};
      std::vector<LightShare> lights = now.lights;
      for (LightShare& l : lights) l.share *= place_.illuminance_lux;
      lights.push_back({steady(), lux});
      const auto proved = judged(change, lights);
      if (proved && proved->verdict_after == Verdict::clean) return proved;
      lux *= 1.05;
    }
    return std::nullopt;
  }

 private:
  std::optional<RoomChange> judged(RoomChange change, const std::vector<LightShare>& lights) const {
    if (lights.empty()) return std::nullopt;
    const Recorded worst = worst_of(lights, request_);
    change.visibility_after = worst.visibility;
    change.verdict_after = worst.verdict;
    const bool helps = worst.visibility <= worth_it * place_.prediction->worst.visibility ||
                       worst.verdict < place_.prediction->worst.verdict;
    return helps ? std::optional(change) : std::nullopt;
  }

  const Room& room_;
  const PlaceResult& place_;
  const RoomRequest& request_;
};

/// How much trouble a change is, of those that help fully: a switch is nearest; a lamp put up for
/// the take; another fixture; wiring. Common practice, no source.
int trouble(const RoomChange& change, double now_lux) {
  switch (change.action) {
    case RoomAction::switch_off:
      return change.illuminance_after_lux * one_stop >= now_lux ? 0 : 5;
    case RoomAction::add_steady_light:
      return *change.steady_lux <= (one_stop - 1.0) * now_lux ? 1 : 4;
    case RoomAction::swap:
      return 2;
    case RoomAction::move:
      return 3;
  }
  return 6;
}

/// Whether the first is to be preferred.
bool before(const RoomChange& a, const RoomChange& b, double now_lux) {
  const bool a_clean = a.verdict_after == Verdict::clean;
  const bool b_clean = b.verdict_after == Verdict::clean;
  if (a_clean != b_clean) return a_clean;
  if (a_clean) {
    const int more = trouble(a, now_lux) - trouble(b, now_lux);
    if (more != 0) return more < 0;
    // The one that leaves more light.
    if (a.action == RoomAction::switch_off) {
      return a.illuminance_after_lux > b.illuminance_after_lux;
    }
  }
  return a.visibility_after < b.visibility_after;
}

}  // namespace

std::vector<RoomChange> changes_for(const Room& room, const PlaceResult& place,
                                    const RoomRequest& request) {
  std::vector<RoomChange> found;
  const auto keep_better = [&](const std::optional<RoomChange>& change) {
    if (!change) return;
    const auto same = std::find_if(found.begin(), found.end(),
                                   [&](const RoomChange& c) { return c.action == change->action; });
    if (same == found.end()) {
      found.push_back(*change);
    } else if (before(*change, *same, place.illuminance_lux)) {
      *same = *change;
    }
  };
  const Changes changes(room, place, request);
  for (const FixtureShare& s : to_blame(room, place)) {
    keep_better(changes.switched_off(s));
    keep_better(changes.swapped(s));
    for (const Conductor c : {Conductor::l1, Conductor::l2, Conductor::l3}) {
      keep_better(changes.moved(s, c));
    }
  }
  keep_better(changes.steadied());
  std::stable_sort(found.begin(), found.end(), [&](const RoomChange& a, const RoomChange& b) {
    return before(a, b, place.illuminance_lux);
  });
  return found;
}

}  // namespace reasoning::room
}  // namespace lampbeat
