#include "reasoning/room/together.hpp"

#include <algorithm>
#include <complex>
#include <set>

#include "arithmetic/phase.hpp"
#include "reasoning/room/conductors.hpp"

namespace lampbeat::reasoning::room {
namespace {

using Parts = std::span<const OnConductor>;

/// What rounding leaves of light that cancels.
constexpr double nothing = 1e-12;

std::complex<double> sum_at_order(Parts parts, int order) {
  std::complex<double> sum;
  for (const OnConductor& p : parts) {
    sum += std::polar(p.part, -arithmetic::turn * order * late_cycles(p.conductor));
  }
  return sum;
}

bool on_several(Parts parts) {
  std::set<double> late;
  for (const OnConductor& p : parts) late.insert(late_cycles(p.conductor));
  return late.size() > 1;
}

void add_up(auto& state, Parts parts, bool odd_in_step) {
  if (!state.mains_hz) return;
  for (LightComponent& c : state.components) {
    if (!c.mains_order || (odd_in_step && *c.mains_order % 2 != 0)) continue;
    const std::complex<double> sum =
        std::polar(c.amplitude, c.phase_rad) * sum_at_order(parts, *c.mains_order);
    c.amplitude = std::abs(sum);
    c.phase_rad = std::arg(sum);
  }
  std::erase_if(state.components, [](const LightComponent& c) { return c.amplitude < nothing; });
  std::stable_sort(
      state.components.begin(), state.components.end(),
      [](const LightComponent& a, const LightComponent& b) { return a.amplitude > b.amplitude; });
}

LightState worst_case(const Light& light, std::string what) {
  return {std::move(what),   light.mains_hz,      light.components,
          light.unexplained, light.noise_percent, true};
}

bool has_odd_orders(const Light& light) {
  return light.mains_hz &&
         std::any_of(light.components.begin(), light.components.end(), [](const LightComponent& c) {
           return c.mains_order && *c.mains_order % 2 != 0;
         });
}

}  // namespace

Light together(const Light& light, Parts parts) {
  Light sum = light;
  sum.figures.reset();  // they were of one of them
  if (!on_several(parts)) return sum;
  add_up(sum, parts, false);
  for (LightState& state : sum.other_states) add_up(state, parts, false);
  const std::vector<Light> states = states_of(light);
  if (has_odd_orders(light)) {
    LightState turned = worst_case(light, "with plugs turned round in their sockets");
    add_up(turned, parts, true);
    sum.other_states.push_back(std::move(turned));
  }
  // Lights that are not in the same state do not cancel as alike ones do; no mixture of states is
  // deeper than all of them in step in the deepest.
  const bool changes = std::any_of(light.other_states.begin(), light.other_states.end(),
                                   [](const LightState& s) { return !s.worst_case_only; });
  for (std::size_t i = 0; changes && i < states.size(); ++i) {
    if (i > 0 && light.other_states[i - 1].worst_case_only) continue;
    sum.other_states.push_back(worst_case(states[i], "with its fixtures in different states"));
  }
  return sum;
}

}  // namespace lampbeat::reasoning::room
