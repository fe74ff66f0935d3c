#include <algorithm>

#include "reasoning/room/conductors.hpp"
#include "reasoning/room/together.hpp"
#include "words/foreign_text.hpp"
#include "words/lists.hpp"

namespace lampbeat {
namespace {

using namespace reasoning::room;

/// Fixtures of one kind whose conductors stand in a known relation, or in none.
struct Alike {
  const Light* light = nullptr;
  std::string kind;
  Supply supply = Supply::unknown;
  std::vector<OnConductor> parts;  ///< of all the light, one for each conductor
  std::vector<std::string> names;

  double share() const {
    double sum = 0.0;
    for (const OnConductor& p : parts) sum += p.part;
    return sum;
  }

  void add(Conductor conductor, double share) {
    const auto same = std::find_if(parts.begin(), parts.end(),
                                   [&](const OnConductor& p) { return p.conductor == conductor; });
    if (same != parts.end()) {
      same->part += share;
    } else {
      parts.push_back({conductor, share});
    }
  }
};

std::string called(std::vector<std::string> names) {
  constexpr int name_columns = 32;
  for (std::string& name : names) name = words::shown_name(name, name_columns);
  constexpr std::size_t told = 3;
  if (names.size() <= told) return words::listed(names);
  std::vector<std::string> some(names.begin(), names.begin() + told - 1);
  some.push_back(std::to_string(names.size() - some.size()) + " more");
  return words::listed(some);
}

}  // namespace

std::vector<LightShare> lights_on(const Room& room, std::span<const FixtureShare> shares) {
  std::vector<Alike> groups;
  for (const FixtureShare& s : shares) {
    if (!(s.share > 0.0)) continue;
    const Fixture& fixture = room.fixtures[s.fixture];
    const Supply supply = supply_of(fixture.conductor);
    auto group = std::find_if(groups.begin(), groups.end(), [&](const Alike& g) {
      return g.kind == fixture.kind && g.supply == supply;
    });
    if (group == groups.end()) {
      groups.push_back({&fixture.light, fixture.kind, supply, {}, {}});
      group = groups.end() - 1;
    }
    group->add(fixture.conductor, s.share);
    group->names.push_back(fixture.name);
  }
  std::vector<LightShare> lights;
  for (Alike& group : groups) {
    const double share = group.share();
    for (OnConductor& p : group.parts) p.part /= share;
    lights.push_back({together(*group.light, group.parts), share});
    lights.back().light.name = called(group.names);
  }
  // Whatever rounding left of it: one light alone gives all there is.
  if (lights.size() == 1) lights.front().share = 1.0;
  return lights;
}

}  // namespace lampbeat
