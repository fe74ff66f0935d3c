#include <algorithm>
#include <cmath>

#include "lampbeat/comparison.hpp"
#include "lampbeat/error.hpp"
#include "words/units.hpp"

namespace lampbeat {

namespace {

std::string corner_words(const std::optional<double>& hz) {
  return hz ? words::hertz(*hz) + ", undone" : "not given";
}

void add_set_up(Occasion& occasion, const std::optional<SetUp>& set_up,
                const std::optional<double>& rate_hz) {
  if (rate_hz) {
    occasion.set_up.push_back({"sampling rate", words::hertz(*rate_hz), false});
    occasion.seen_to_hz = 0.5 * *rate_hz;
  }
  if (!set_up) {
    occasion.doubts.push_back(
        {"set_up_unknown", "nobody wrote down how the sensor was set up; measure it again"});
    return;
  }
  occasion.set_up.push_back({"dark level", set_up->dark_level ? "given" : "not given", true});
  occasion.set_up.push_back({"sensor bandwidth", corner_words(set_up->sensor_corner_hz), true});
  occasion.set_up.push_back({"AC coupling", corner_words(set_up->coupling_corner_hz), true});
  occasion.set_up.push_back({"mean level", set_up->mean_level ? "given" : "recorded", false});
}

void add_figures(Occasion& occasion, const LightFigures& f) {
  const auto add = [&](const char* name, const char* what, const char* unit, FigureRole role,
                       const std::optional<double>& value, const std::optional<double>& sd) {
    occasion.figures.push_back({name, what, unit, role, value, sd, {}});
  };
  add("percent_flicker", "percent flicker", "%", FigureRole::depth, f.percent_flicker,
      f.percent_flicker_sd);
  add("flicker_index", "flicker index", "", FigureRole::depth, f.flicker_index, f.flicker_index_sd);
  add("dominant_hz", "strongest rhythm", "Hz", FigureRole::rhythm, f.dominant_hz, f.dominant_hz_sd);
  add("svm", "stroboscopic SVM", "", FigureRole::rough_depth, f.svm, {});
  add("pst_lm", "slow flicker PstLM", "", FigureRole::rough_depth, f.pst_lm, {});
  if (!f.percent_flicker) occasion.figures.front().at_most = f.steady_below_percent;
  occasion.seen_above_percent = f.seen_above_percent;
  occasion.measurement_version = f.measurement_version;
  add_set_up(occasion, f.set_up, f.rate_hz);
}

std::string state_words(const Measurement& m) {
  if (m.states.empty()) return "one state";
  const bool dark =
      std::any_of(m.states.begin(), m.states.end(), [](const MeasuredState& s) { return s.dark; });
  const auto lit = std::count_if(m.states.begin(), m.states.end(),
                                 [](const MeasuredState& s) { return !s.dark; });
  return std::string(lit > 1 ? "several states" : "one state") + (dark ? ", dark in between" : "");
}

/// Why how deep it flickers is not known, where it is not.
void doubt_depth(Occasion& occasion, const Measurement& m) {
  if (m.percent_flicker || m.steady_below_percent) return;
  const std::string why = m.warnings.empty() ? "" : ": " + m.warnings.front().message;
  occasion.doubts.push_back({m.mean ? "depth_withheld" : "no_dc_level",
                             "how deep the light flickers was not measured" + why});
}

}  // namespace

Occasion occasion_of(const Measurement& m) {
  Occasion occasion;
  occasion.source = m.capture;
  add_figures(occasion, light_figures(m));
  for (const MeasuredComponent& c : m.components) {
    occasion.rhythms.push_back(
        {c.hz, c.hz_sd, c.percent, c.percent_sd, c.mains_order, c.kind == ComponentKind::sideband});
  }
  occasion.clock_spread_percent = m.clock_spread_percent;
  occasion.depth_assumed = !m.mean && !m.deepest.empty();
  occasion.states = state_words(m);
  doubt_depth(occasion, m);
  try {
    occasion.light = light_from(m);
  } catch (const InputError& error) {
    if (occasion.doubts.empty()) occasion.doubts.push_back({"not_measured", error.what()});
  }
  return occasion;
}

Occasion occasion_of(const Light& light, const std::string& source) {
  Occasion occasion;
  occasion.source = source;
  add_figures(occasion, light.figures.value_or(LightFigures{}));
  for (const LightComponent& c : light.components) {
    occasion.rhythms.push_back({c.hz, 0.0, 100.0 * c.amplitude, {}, c.mains_order});
  }
  occasion.clock_spread_percent = light.clock_spread_percent;
  occasion.depth_assumed = light.depth == DepthKnown::assumed_deepest;
  // Others among them are not how the light was, but what its samples could mean as well.
  const bool several =
      std::any_of(light.other_states.begin(), light.other_states.end(),
                  [](const LightState& state) { return state.what.rfind("from ", 0) == 0; });
  occasion.states = several ? "several states" : "one state";
  occasion.light = light;
  if (light.depth != DepthKnown::measured || light.any_waveform) {
    occasion.doubts.push_back(
        {"depth_not_measured", "how deep the light flickers was taken and not measured"});
  }
  return occasion;
}

}  // namespace lampbeat
