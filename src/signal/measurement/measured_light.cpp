#include <algorithm>
#include <cmath>
#include <numbers>
#include <string>

#include "lampbeat/error.hpp"
#include "lampbeat/measurement.hpp"
#include "words/numbers.hpp"

namespace lampbeat {

std::vector<LightComponent> light_components(const Measurement& m) {
  std::vector<LightComponent> light;
  for (const auto* list : {&m.components, &m.inferred_components}) {
    for (const MeasuredComponent& c : *list) {
      if (!c.percent) continue;
      light.push_back(
          {c.hz, *c.percent / 100.0, c.phase_deg * std::numbers::pi / 180.0, c.mains_order});
    }
  }
  std::stable_sort(light.begin(), light.end(),
                   [](const auto& a, const auto& b) { return a.amplitude > b.amplitude; });
  return light;
}

std::optional<MeasuredState> dark_beside_steady(const Measurement& m) {
  if (m.percent_flicker || m.dominant_hz || !m.unexplained.empty()) return std::nullopt;
  const auto dark =
      std::find_if(m.states.begin(), m.states.end(), [](const MeasuredState& s) { return s.dark; });
  return dark == m.states.end() ? std::nullopt : std::optional(*dark);
}

StandardFigures standard_figures(const Measurement& m) {
  return {m.percent_flicker,
          m.dominant_hz,
          m.svm,
          m.pst_lm,
          m.lowpass_percent[Ja10CutOff::at_200_hz],
          m.ieee};
}

namespace {

/// A line this many times its own noise is found wherever it lies (common practice, no source:
/// detection begins at five to six).
constexpr double surely_seen = 10.0;

std::optional<double> seen_above(const Measurement& m) {
  if (m.steady_below_percent) return m.steady_below_percent;
  if (!m.noise_percent || m.samples == 0) return std::nullopt;
  return surely_seen * *m.noise_percent * std::sqrt(2.0 / static_cast<double>(m.samples));
}

/// What is known without the light's mean, too.
LightFigures whatever_the_level(const Measurement& m) {
  LightFigures figures;
  figures.dominant_hz = m.dominant_hz;
  figures.dominant_hz_sd = m.dominant_hz_sd;
  figures.rate_hz = m.rate_hz;
  figures.set_up = m.set_up;
  figures.measurement_version = m.version;
  return figures;
}

}  // namespace

LightFigures light_figures(const Measurement& m) {
  LightFigures figures = whatever_the_level(m);
  figures.percent_flicker = m.percent_flicker;
  figures.percent_flicker_sd = m.percent_flicker_sd;
  figures.flicker_index = m.flicker_index;
  figures.flicker_index_sd = m.flicker_index_sd;
  figures.svm = m.svm;
  figures.pst_lm = m.pst_lm;
  figures.below_200_percent = m.lowpass_percent[Ja10CutOff::at_200_hz];
  figures.steady_below_percent = m.steady_below_percent;
  figures.seen_above_percent = seen_above(m);
  if (m.ieee) figures.worst_rhythm = {m.ieee->hz, m.ieee->percent, m.ieee->percent_sd};
  return figures;
}

namespace {

/// What a light is called, where it came from, and what else holds however deep it is.
Light named_light(const Measurement& m) {
  Light light;
  // People know a light by its name, not by the folder its capture lies in.
  const std::size_t slash = m.capture.rfind('/') + 1;
  const std::size_t dot = m.capture.rfind('.');
  light.name = m.capture.substr(slash, dot > slash ? dot - slash : std::string::npos);
  if (light.name.empty()) light.name = m.capture;
  light.source = "measured from " + m.capture;
  light.mains_hz = m.mains_hz;
  light.clock_spread_percent = m.clock_spread_percent.value_or(0.0);
  light.findings = m.warnings;
  return light;
}

Light deepest_light(const Measurement& m) {
  Light light = named_light(m);
  light.depth = DepthKnown::assumed_deepest;
  light.components = m.deepest.front().components;
  light.unexplained = m.deepest.front().unexplained;
  light.other_states.assign(m.deepest.begin() + 1, m.deepest.end());
  light.figures = whatever_the_level(m);
  const bool other_way_up = std::any_of(m.deepest.begin(), m.deepest.end(),
                                        [](const LightState& s) { return s.worst_case_only; });
  light.findings.push_back(
      {"assumed_deepest",
       std::string("Depth not known: judged at the deepest this light can be, black at its darkest "
                   "moment.") +
           (other_way_up ? " The worst case also holds for a recorder that turns the signal upside "
                           "down; 'lampbeat measure --upright --save' says that yours does not."
                         : " More light is taken to read higher, as lamps on the mains look; where "
                           "it reads lower, 'lampbeat measure --invert --save'.")});
  return light;
}

}  // namespace

Light light_from(const Measurement& m) {
  if (!m.mean && !m.deepest.empty()) return deepest_light(m);
  if (!m.mean) {
    const std::string frequency = m.dominant_hz
                                      ? "; any light of its frequency is judged by --light-hz " +
                                            words::in_digits_at_most(*m.dominant_hz, 5)
                                      : "";
    throw InputError(
        m.capture + ": its light cannot be described without a trusted mean level (" +
        (m.warnings.empty() ? std::string("see the warnings") : m.warnings.front().code) +
        "); record again, or give --mean or --dark" + frequency);
  }
  const bool depth_known = std::any_of(m.components.begin(), m.components.end(),
                                       [](const MeasuredComponent& c) { return c.percent; });
  if (!depth_known && !m.steady_below_percent && m.unexplained.empty()) {
    if (has_finding(m.warnings, "one_reading")) {
      throw InputError(m.capture +
                       ": every reading is the same, which a dead or overloaded sensor gives too; "
                       "check that it answers to light and record again");
    }
    throw InputError(m.capture +
                     ": too slow or too short a recording to know this light's rhythm from; record "
                     "at least a second at 2000, better 20000 samples a second");
  }
  Light light = named_light(m);
  light.noise_percent = m.steady_below_percent.value_or(0.0);
  light.components = light_components(m);
  light.other_states.insert(light.other_states.end(), m.other_readings.begin(),
                            m.other_readings.end());
  light.unexplained = m.unexplained;
  for (const MeasuredState& state : m.states) {
    if (!state.shown && !state.dark) light.other_states.push_back(state.light);
  }
  light.figures = light_figures(m);
  return light;
}

}  // namespace lampbeat
