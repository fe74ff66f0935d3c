#include "reasoning/advice/flashes.hpp"

#include <cmath>
#include <numbers>
#include <vector>

#include "reasoning/judge/judged_room.hpp"

namespace lampbeat::reasoning::advice {

namespace {

/// Rectangular flashes of this part of their period: a_k = 2 sin(πk part)/(πk part).
Light of_flashes(Light light, double part) {
  for (std::size_t i = 0; i < light.components.size(); ++i) {
    const double turn = std::numbers::pi * static_cast<double>(i + 1) * part;
    const double amplitude = 2.0 * std::sin(turn) / turn;
    light.components[i].amplitude = std::abs(amplitude);
    light.components[i].phase_rad = amplitude < 0.0 ? std::numbers::pi : 0.0;
  }
  light.any_waveform = false;
  return light;
}

}  // namespace

std::optional<double> shortest_clean_flash(const ShutterPlan& plan, const Setting& setting) {
  const auto clean = [&](double part) {
    std::vector<LightShare> lights = plan.lights;
    for (LightShare& l : lights) {
      if (l.light.any_waveform) l.light = of_flashes(l.light, part);
    }
    const auto judged = judge::judged_room(lights, plan.options, plan.readout_s, plan.rows);
    return judged->judge.clean(setting.exposure_s, setting.fps);
  };
  constexpr double nearly_steady = 0.9;
  constexpr int halvings = 6;  // told in per cent
  if (!clean(nearly_steady)) return std::nullopt;
  double shows = 0.0;
  double hides = nearly_steady;
  for (int i = 0; i < halvings; ++i) {
    const double middle = 0.5 * (shows + hides);
    (clean(middle) ? hides : shows) = middle;
  }
  return hides;
}

}  // namespace lampbeat::reasoning::advice
