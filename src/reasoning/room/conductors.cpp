#include "reasoning/room/conductors.hpp"

#include <algorithm>
#include <array>
#include <cctype>
#include <map>
#include <string>
#include <utility>

namespace lampbeat {
namespace {

struct Known {
  Conductor conductor;
  const char* words;
  reasoning::room::Supply supply;
  double late_cycles;
};

using reasoning::room::Supply;

constexpr std::array all = {Known{Conductor::unknown, "", Supply::unknown, 0.0},
                            Known{Conductor::l1, "L1", Supply::three_phase, 0.0},
                            Known{Conductor::l2, "L2", Supply::three_phase, 1.0 / 3.0},
                            Known{Conductor::l3, "L3", Supply::three_phase, 2.0 / 3.0},
                            Known{Conductor::a, "A", Supply::split_phase, 0.0},
                            Known{Conductor::b, "B", Supply::split_phase, 0.5}};

const Known& known(Conductor conductor) {
  return *std::find_if(all.begin(), all.end(),
                       [&](const Known& k) { return k.conductor == conductor; });
}

}  // namespace

const char* conductor_words(Conductor conductor) { return known(conductor).words; }

std::optional<Conductor> conductor_of(std::string_view words) {
  std::string upper(words);
  std::transform(upper.begin(), upper.end(), upper.begin(), [](char c) {
    return static_cast<char>(std::toupper(static_cast<unsigned char>(c)));
  });
  const auto found = std::find_if(all.begin(), all.end(), [&](const Known& k) {
    return k.conductor != Conductor::unknown && k.words == upper;
  });
  return found == all.end() ? std::nullopt : std::optional(found->conductor);
}

namespace reasoning::room {

double late_cycles(Conductor conductor) { return known(conductor).late_cycles; }
Supply supply_of(Conductor conductor) { return known(conductor).supply; }

std::optional<Room> in_step(const Room& room) {
  std::map<std::string, Conductor> of_kind;
  bool several = false;
  Room stepped = room;
  for (Fixture& fixture : stepped.fixtures) {
    const Conductor conductor = std::exchange(fixture.conductor, Conductor::unknown);
    if (conductor == Conductor::unknown || !gives_light(fixture)) continue;
    const auto first = of_kind.try_emplace(fixture.kind, conductor).first;
    several = several || first->second != conductor;
  }
  return several ? std::optional(std::move(stepped)) : std::nullopt;
}

}  // namespace reasoning::room
}  // namespace lampbeat
