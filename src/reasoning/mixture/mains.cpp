#include "reasoning/mixture/mains.hpp"

#include <algorithm>
#include <cmath>

#include <fmt/format.h>

namespace lampbeat {

double nominal_mains_hz(double taken_hz) {
  constexpr double near = 0.02;  // more than any grid strays, less than half way to the other
  for (const double nominal : {50.0, 60.0}) {
    if (std::abs(taken_hz - nominal) <= near * nominal) return nominal;
  }
  return taken_hz;
}

double default_mains_tolerance_hz(double mains_hz) {
  constexpr double nerc_alarm_hz = 0.144;
  constexpr double en_50160 = 0.01;
  return nominal_mains_hz(mains_hz) == 60.0 ? nerc_alarm_hz : en_50160 * mains_hz;
}

namespace reasoning::mixture {

namespace {

bool has_locked_part(std::span<const LightComponent> components) {
  return std::any_of(components.begin(), components.end(),
                     [](const LightComponent& c) { return c.mains_order; });
}

/// A lamp on another mains is another lamp: its driver may ripple more there, or less.
void note_moved(Supply& supply, const Light& light, double asked_hz) {
  const std::optional<double> taken_on = mains_of(light);
  if (!taken_on) return;
  const double own = nominal_mains_hz(*taken_on);
  if (own == nominal_mains_hz(asked_hz)) return;
  if (light.any_waveform) {
    supply.findings.push_back(
        {"moved_mains", fmt::format("'{}' follows a mains of {:g} Hz and is judged where that runs "
                                    "at {:g} Hz, with its frequency moved in proportion.",
                                    light.name, own, asked_hz)});
    return;
  }
  supply.findings.push_back(
      {"moved_mains",
       fmt::format("'{}' was measured under {:g} Hz mains and is judged as if it rippled as deep "
                   "under {:g} Hz. A driver's depth changes with the mains: measure it there to be "
                   "sure.",
                   light.name, own, asked_hz)});
}

}  // namespace

bool has_locked_part(const Light& light) {
  return light.mains_hz && has_locked_part(light.components);
}

std::optional<double> mains_of(const Light& light) {
  if (has_locked_part(light)) return light.mains_hz;
  for (const LightState& state : light.other_states) {
    if (state.mains_hz && has_locked_part(state.components)) return state.mains_hz;
  }
  return std::nullopt;
}

Supply on_one_mains(std::span<const LightShare> lights, std::optional<double> asked_hz) {
  Supply supply;
  supply.lights.assign(lights.begin(), lights.end());
  for (const LightShare& l : lights) {
    const std::optional<double> taken_on = mains_of(l.light);
    if (!taken_on) continue;
    const double own = *taken_on;
    if (!supply.mains_hz) {
      supply.mains_hz = asked_hz.value_or(own);
    } else if (!asked_hz && nominal_mains_hz(own) != nominal_mains_hz(*supply.mains_hz)) {
      supply.findings.push_back(
          {"mixed_mains",
           fmt::format("'{}' was taken on {:g} Hz mains and is judged on {:g} Hz like the first "
                       "light, since a room has one mains; say --mains to choose another.",
                       l.light.name, nominal_mains_hz(own), nominal_mains_hz(*supply.mains_hz))});
    }
  }
  if (asked_hz) {
    require_mains_hz(*asked_hz);
    for (const LightShare& l : lights) {
      note_moved(supply, l.light, *asked_hz);
      if (mains_of(l.light) || l.light.components.empty()) continue;
      supply.findings.push_back(
          {"not_locked",
           fmt::format("Nothing of '{}' follows the mains, so it is judged as it was taken and not "
                       "moved to {:g} Hz.",
                       l.light.name, *asked_hz)});
    }
  }
  if (supply.mains_hz) supply.lights = all_retuned(supply.lights, *supply.mains_hz);
  return supply;
}

std::vector<LightShare> as_meant(std::span<const LightShare> lights,
                                 std::optional<double> judged_hz, std::optional<double> asked_hz) {
  if (judged_hz && !asked_hz) return all_retuned(lights, nominal_mains_hz(*judged_hz));
  return {lights.begin(), lights.end()};
}

std::vector<LightShare> all_retuned(std::span<const LightShare> lights, double mains_hz) {
  std::vector<LightShare> moved(lights.begin(), lights.end());
  for (LightShare& l : moved) l.light = retuned(l.light, mains_hz);
  return moved;
}

}  // namespace reasoning::mixture
}  // namespace lampbeat
