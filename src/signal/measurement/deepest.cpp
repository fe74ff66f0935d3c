#include "signal/measurement/deepest.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

#include "arithmetic/phase.hpp"

namespace lampbeat::signal::measurement {
namespace {

/// Closer than this share of each other, above and below are the same.
constexpr double same_reach = 0.01;

}  // namespace

std::complex<double> without_coupling(double hz, double corner_hz) {
  return {1.0, -corner_hz / hz};
}

ToneAnalysis as_deep(ToneAnalysis tones, const states::SideReach& below) {
  tones.mean = below.distance;
  for (ToneSeries& series : tones.series) {
    for (Tone& tone : series.tones) {
      const std::complex<double> factor = without_coupling(tone.hz, below.corner_hz);
      tone.amplitude *= std::abs(factor);
      tone.amplitude_sd *= std::abs(factor);
      tone.phase_rad = arithmetic::wrapped_rad(tone.phase_rad + std::arg(factor));
    }
  }
  return tones;
}

LightState as_reading(const Measurement& figures, std::string what) {
  LightState light;
  light.what = std::move(what);
  light.mains_hz = figures.mains_hz;
  light.components = light_components(figures);
  light.unexplained = figures.unexplained;
  return light;
}

LightState upside_down(LightState light, const states::Reach& reach) {
  const double deeper = reach.below.distance / reach.above.distance;
  light.what = light.what.empty() ? "if its recorder turned it upside down"
                                  : light.what + ", if its recorder turned it upside down";
  for (LightComponent& c : light.components) {
    const std::complex<double> factor = -deeper * without_coupling(c.hz, reach.above.corner_hz) /
                                        without_coupling(c.hz, reach.below.corner_hz);
    c.amplitude *= std::abs(factor);
    c.phase_rad = arithmetic::wrapped_rad(c.phase_rad + std::arg(factor));
  }
  for (UnexplainedLight& band : light.unexplained) band.rms *= deeper;
  light.worst_case_only = true;
  return light;
}

bool may_be_upside_down(const Measurement& figures, const states::Reach& reach) {
  const double below = reach.below.distance;
  const double above = reach.above.distance;
  if (std::abs(above - below) <= same_reach * std::max(above, below)) return false;
  const bool on_mains =
      std::all_of(figures.components.begin(), figures.components.end(),
                  [](const MeasuredComponent& c) { return c.mains_order.has_value(); });
  return !on_mains || above > below;
}

}  // namespace lampbeat::signal::measurement
