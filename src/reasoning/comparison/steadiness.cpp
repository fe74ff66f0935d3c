#include "reasoning/comparison/steadiness.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "words/units.hpp"

namespace lampbeat::reasoning::comparison {

namespace {

double rhythms_rms(const Occasion& occasion) {
  if (!occasion.light) return 0.0;
  double squares = 0.0;
  for (const LightComponent& c : occasion.light->components) squares += c.amplitude * c.amplitude;
  return std::sqrt(squares / 2.0);
}

bool unsteady(const Occasion& occasion) {
  constexpr double of_rhythms = 0.1;
  return clock_strays(occasion) || irregular_rms(occasion) > of_rhythms * rhythms_rms(occasion);
}

bool goes_dark(const Occasion& occasion) {
  return occasion.states.find("dark") != std::string::npos;
}

}  // namespace

bool clock_strays(const Occasion& occasion) {
  constexpr double steady_percent = 0.02;  // quartz and mains are ten times as steady
  return occasion.clock_spread_percent.value_or(0.0) >= steady_percent;
}

double irregular_rms(const Occasion& occasion) {
  if (!occasion.light) return 0.0;
  double squares = 0.0;
  for (const UnexplainedLight& band : occasion.light->unexplained) squares += band.rms * band.rms;
  return std::sqrt(squares);
}

std::optional<Finding> more_irregular(const Occasion& before, const Occasion& after) {
  // Captures of one light leave twice as much, or half; a tenth of the rhythms is what their lines
  // leave where a clock strays a little, all of it where it strays more.
  constexpr double from_one_to_another = 2.0;
  constexpr double left_of_lines = 0.1;
  const bool strays = clock_strays(before) || clock_strays(after);
  const double of_rhythms = (strays ? 1.0 : left_of_lines) * rhythms_rms(after);
  const double is = irregular_rms(after);
  if (is <= std::max(from_one_to_another * irregular_rms(before), of_rhythms)) return std::nullopt;
  return Finding{
      "unexplained_light",
      fmt::format("After: {} of the mean (rms) is irregular, in no rhythm; before, {} "
                  "was.",
                  words::percent(100.0 * is), words::percent(100.0 * irregular_rms(before)))};
}

std::optional<Finding> other_states(const Occasion& before, const Occasion& after) {
  if (before.states == after.states) return std::nullopt;
  if (unsteady(before) && unsteady(after) && !goes_dark(before) && !goes_dark(after)) {
    return std::nullopt;
  }
  return Finding{"states_differ_in_kind",
                 fmt::format("Before, the light had {}, after, {}: measure it in the same state.",
                             before.states, after.states)};
}

}  // namespace lampbeat::reasoning::comparison
