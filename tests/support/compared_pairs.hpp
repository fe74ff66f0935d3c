#pragma once

#include <cmath>
#include <functional>
#include <optional>

#include "lampbeat/comparison.hpp"
#include "support/lamp_kinds.hpp"
#include "support/metering.hpp"

// One light captured twice, as it is when a room is looked after: other noise, another start and
// length, the mains a little off; and once more, that much deeper.

namespace compared_pairs {

using lamp_kinds::between;
using lamp_kinds::logarithmic;

struct Pair {
  lampbeat::Comparison same;                   ///< nothing changed but what is no change
  std::optional<lampbeat::Comparison> deeper;  ///< empty where it cannot be deeper
};

namespace detail {

/// What a light is over: its mean, and its extremes.
struct Levels {
  double mean = 0.0;
  double low = HUGE_VAL;
  double high = -HUGE_VAL;
};

inline Levels levels_of(const std::function<double(double)>& light, double seconds) {
  constexpr int moments = 400000;
  Levels levels;
  for (int i = 0; i < moments; ++i) {
    const double value = light(seconds * (i + 0.5) / moments);
    levels.mean += value / moments;
    levels.low = std::min(levels.low, value);
    levels.high = std::max(levels.high, value);
  }
  return levels;
}

/// How many times as deep its ripple has to be for this percent flicker; empty where that would
/// take it below darkness.
inline std::optional<double> times_as_deep(const Levels& l, double percent) {
  const double wanted = percent / 100.0;
  const double swing = l.high - l.low;
  const double lean = l.high + l.low - 2.0 * l.mean;
  const double times = 2.0 * l.mean * wanted / (swing - wanted * lean);
  if (!(times > 0.0) || l.mean + times * (l.low - l.mean) < 0.0) return std::nullopt;
  return times;
}

inline lampbeat::Occasion captured(const std::function<double(double)>& light, double mean,
                                   double rate_hz, double seconds, double noise, unsigned seed) {
  return lampbeat::occasion_of(metering::measured(metering::recording(
      rate_hz, seconds, [&](double t) { return light(t) / mean; }, noise, seed)));
}

}  // namespace detail

inline Pair drawn(std::size_t kind, lamp_kinds::Random& random, double combined_sds_apart) {
  using namespace detail;
  constexpr double longest_s = 3.0;
  const double rate_hz = random() % 2 ? 20000.0 : 48000.0;
  const lamp_kinds::Frame frame{rate_hz, 2.5 * longest_s};
  const lamp_kinds::Drawn light = lamp_kinds::all()[kind].draw(random, frame);
  const double noise = logarithmic(random, 0.0005, 0.02);
  const Levels levels = levels_of(light.at, 2.0 * longest_s);
  const double first_s = between(random, 1.0, longest_s);
  const double second_s = between(random, 1.0, longest_s);
  const double off = between(random, -8e-4, 8e-4);  // 59.97 Hz for 60.02
  const auto later = [&](double t) { return light.at((first_s + t) * (1.0 + off)); };
  const auto before =
      captured(light.at, levels.mean, rate_hz, first_s, noise, static_cast<unsigned>(random()));
  const auto seed = static_cast<unsigned>(random());
  const auto after = captured(later, levels.mean, rate_hz, second_s, noise, seed);
  Pair pair{lampbeat::compare("a lamp", {before, after}), {}};
  const lampbeat::OccasionFigure& was = before.figures.front();
  const lampbeat::OccasionFigure& is = after.figures.front();
  if (!was.value || !was.sd || !is.sd || light.percent_flicker > 99.0) return pair;
  const double more = combined_sds_apart * std::hypot(*was.sd, *is.sd);
  const auto times = times_as_deep(levels, light.percent_flicker + more);
  if (!times || !times_as_deep(levels, light.percent_flicker)) return pair;
  const auto deepened = [&](double t) { return levels.mean + *times * (later(t) - levels.mean); };
  pair.deeper = lampbeat::compare(
      "a lamp", {before, captured(deepened, levels.mean, rate_hz, second_s, noise, seed + 1)});
  return pair;
}

}  // namespace compared_pairs
