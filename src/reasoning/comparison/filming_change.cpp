#include "reasoning/comparison/filming_change.hpp"

#include <algorithm>
#include <cmath>

namespace lampbeat::reasoning::comparison {

namespace {

/// The same light, so many times as deep in every one of its states.
Light deepened(Light light, double times) {
  const auto scale = [times](auto& state) {
    for (LightComponent& c : state.components) c.amplitude *= times;
    for (UnexplainedLight& band : state.unexplained) band.rms *= times;
  };
  scale(light);
  for (LightState& state : light.other_states) scale(state);
  return light;
}

/// How far the depth may be off, as a share of itself; empty where nobody knows.
std::optional<double> share_off(const Occasion& occasion) {
  for (const OccasionFigure& figure : occasion.figures) {
    if (figure.role != FigureRole::depth || !figure.value || !figure.sd) continue;
    if (*figure.value > 0.0) return changed_beyond * *figure.sd / *figure.value;
  }
  return std::nullopt;
}

FilmingClass class_at(const Light& light, double times) {
  return rate_for_filming(deepened(light, times), {}, {}).filming;
}

/// Of the strongest rhythm that is not locked to the mains.
std::optional<double> own_hz(const Light& light) {
  const auto own = std::find_if(light.components.begin(), light.components.end(),
                                [](const LightComponent& c) { return !c.mains_order; });
  return own == light.components.end() ? std::nullopt : std::optional(own->hz);
}

void speed_up(auto& state, double times) {
  for (LightComponent& c : state.components) {
    if (!c.mains_order) c.hz *= times;
  }
}

/// A little off, mains and clocks take a light across the edges of its classes; that is no change
/// of the light.
Light on_clocks_of(Light light, const Light& other) {
  constexpr double same_supply_hz = 1.0;
  constexpr double same_clock = 0.01;  // the clock tolerance that predictions allow
  if (light.mains_hz && other.mains_hz &&
      std::abs(*light.mains_hz - *other.mains_hz) < same_supply_hz) {
    light = retuned(light, *other.mains_hz);
  }
  const auto mine = own_hz(light);
  const auto others = own_hz(other);
  if (mine && others && std::abs(*others / *mine - 1.0) <= same_clock) {
    const double times = *others / *mine;
    speed_up(light, times);
    for (LightState& state : light.other_states) speed_up(state, times);
  }
  return light;
}

/// What was not measured is taken at its worst, and a class that is low for that says nothing.
bool class_is_its_own(const Occasion& occasion) {
  return !occasion.depth_assumed && share_off(occasion).has_value();
}

/// Whether `fitter` stays in a higher class than `other` at the unfavourable ends of both ±.
bool surely_fitter(const Occasion& fitter, const Occasion& other) {
  if (!class_is_its_own(other)) return false;
  const double off = share_off(fitter).value_or(0.0);
  const double other_off = std::min(1.0, *share_off(other));
  const Light beside = on_clocks_of(*fitter.light, *other.light);
  return class_at(beside, 1.0 + off) < class_at(*other.light, 1.0 - other_off);
}

}  // namespace

std::optional<FilmingRating> filming_of(const Occasion& occasion) {
  if (!occasion.light) return std::nullopt;
  return rate_for_filming(*occasion.light, {}, {});
}

ClassChange class_change(const Occasion& before, const std::optional<FilmingRating>& was,
                         const Occasion& after, const std::optional<FilmingRating>& is) {
  if (!was || !is || was->filming == is->filming) return ClassChange::none;
  const bool worse = is->filming > was->filming;
  const bool sure = worse ? surely_fitter(before, after) : surely_fitter(after, before);
  if (!sure) return ClassChange::within_uncertainty;
  return worse ? ClassChange::worse : ClassChange::better;
}

}  // namespace lampbeat::reasoning::comparison
