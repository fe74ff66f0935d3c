#include "lampbeat/light.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <utility>

#include "arithmetic/phase.hpp"
#include "lampbeat/error.hpp"

namespace lampbeat {

namespace {

constexpr std::array<std::pair<DepthKnown, const char*>, 3> known_depths = {{
    {DepthKnown::measured, "measured"},
    {DepthKnown::assumed_deepest, "assumed deepest"},
    {DepthKnown::typical, "typical"},
}};

/// Moves what is locked to the mains, of a light or of one of its other states.
void retune(auto& state, double mains_hz) {
  if (!state.mains_hz) return;
  for (LightComponent& c : state.components) {
    if (c.mains_order) c.hz = *c.mains_order * mains_hz;
  }
  state.mains_hz = mains_hz;
}

}  // namespace

const char* depth_words(DepthKnown depth) {
  return std::find_if(known_depths.begin(), known_depths.end(),
                      [&](const auto& known) { return known.first == depth; })
      ->second;
}

std::optional<DepthKnown> depth_known(std::string_view words) {
  const auto found = std::find_if(known_depths.begin(), known_depths.end(),
                                  [&](const auto& known) { return known.second == words; });
  return found == known_depths.end() ? std::nullopt : std::optional(found->first);
}

double light_at(const Light& light, double t_s) {
  double value = 1.0;
  for (const LightComponent& c : light.components) {
    value += c.amplitude * std::cos(arithmetic::turn * c.hz * t_s + c.phase_rad);
  }
  return value;
}

bool is_mains_hz(double hz) { return hz >= 10.0 && hz <= 1000.0; }

void require_mains_hz(double hz) {
  if (is_mains_hz(hz)) return;
  throw UsageError(fmt::format(
      "a mains frequency lies between 10 and 1000 Hz (50 or 60 in homes), not {:g}", hz));
}

Light retuned(const Light& light, double mains_hz) {
  require_mains_hz(mains_hz);
  Light moved = light;
  retune(moved, mains_hz);
  for (LightState& state : moved.other_states) retune(state, mains_hz);
  return moved;
}

std::vector<Light> states_of(const Light& light) {
  Light own = light;
  own.other_states.clear();
  std::vector<Light> states(1 + light.other_states.size(), own);
  for (std::size_t i = 0; i < light.other_states.size(); ++i) {
    const LightState& state = light.other_states[i];
    states[i + 1].mains_hz = state.mains_hz;
    states[i + 1].components = state.components;
    states[i + 1].unexplained = state.unexplained;
    states[i + 1].noise_percent = state.noise_percent;
  }
  return states;
}

}  // namespace lampbeat
