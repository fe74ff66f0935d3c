#include "lampbeat/depth.hpp"

#include <algorithm>
#include <cmath>

#include "lampbeat/measurement.hpp"
#include "lampbeat/prediction.hpp"
#include "lampbeat/rating.hpp"

namespace lampbeat {

namespace {

std::optional<double> larger(std::optional<double> a, std::optional<double> b) {
  if (a && b) return std::max(*a, *b);
  return a ? a : b;
}

}  // namespace

Depth depth_of(const Measurement& m) {
  if (m.percent_flicker) return {larger(m.percent_flicker, m.unexplained_percent), ""};
  // A recording flat at the end of its scale looks steady, and so does a lamp nothing reached.
  if (m.steady_below_percent && !has_finding(m.warnings, "clipped")) {
    return {larger(m.steady_below_percent, m.unexplained_percent), ""};
  }
  return {std::nullopt, "how deep this light flickers was not measured"};
}

Depth depth_of(const Light& light, const FixtureRating& rating) {
  double unexplained = 0.0;
  for (const UnexplainedLight& band : light.unexplained) {
    unexplained = std::hypot(unexplained, 100.0 * band.rms);
  }
  const bool unknown = light.depth == DepthKnown::assumed_deepest;
  if ((unknown || has_finding(light.findings, "clipped")) && !rating.percent_flicker) {
    return {std::nullopt, "how deep this light flickers was not measured"};
  }
  return {std::max(rating.percent_flicker.value_or(light.noise_percent), unexplained), ""};
}

Depth depth_of(const Recorded& worst, std::span<const LightShare> lights) {
  double shares = 0.0;
  double missed = 0.0;
  for (const LightShare& l : lights) {
    shares += l.share;
    if (l.light.components.empty()) missed += l.share * l.light.noise_percent;
  }
  const double unseen = shares > 0.0 ? missed / shares : 0.0;
  return {deeper_percent(worst) + unseen, ""};
}

bool within(const Depth& depth, double limit_percent) {
  return depth.percent && *depth.percent <= limit_percent;
}

}  // namespace lampbeat
