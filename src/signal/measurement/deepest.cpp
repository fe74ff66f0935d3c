#include "signal/measurement/deepest.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>
#include <utility>

#include "arithmetic/phase.hpp"

namespace lampbeat::signal::measurement {
namespace {

/// Closer than this share of each other, above and below are the same.
constexpr double same_reach = 0.01;

}  // namespace

LightState as_reading(const Measurement& figures, std::string what) {
  LightState light;
  light.what = std::move(what);
  light.mains_hz = figures.mains_hz;
  light.components = light_components(figures);
  light.unexplained = figures.unexplained;
  return light;
}

LightState upside_down(LightState light, const states::Reach& reach) {
  const double deeper = reach.below / reach.above;
  light.what = light.what.empty() ? "if its recorder turned it upside down"
                                  : light.what + ", if its recorder turned it upside down";
  for (LightComponent& c : light.components) {
    c.amplitude *= deeper;
    c.phase_rad = arithmetic::wrapped_rad(c.phase_rad + std::numbers::pi);
  }
  for (UnexplainedLight& band : light.unexplained) band.rms *= deeper;
  light.worst_case_only = true;
  return light;
}

bool may_be_upside_down(const Measurement& figures, const states::Reach& reach) {
  const double apart = std::abs(reach.above - reach.below);
  if (apart <= same_reach * std::max(reach.above, reach.below)) return false;
  const bool on_mains =
      std::all_of(figures.components.begin(), figures.components.end(),
                  [](const MeasuredComponent& c) { return c.mains_order.has_value(); });
  return !on_mains || reach.above > reach.below;
}

}  // namespace lampbeat::signal::measurement
