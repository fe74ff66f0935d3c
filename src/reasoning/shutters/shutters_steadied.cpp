#include "reasoning/shutters/shutters_steadied.hpp"

#include <algorithm>
#include <cmath>

#include "lampbeat/visibility.hpp"

namespace lampbeat::reasoning::shutters {

std::optional<double> deepest_clean(const judge::Judge& judge, double exposure_s, FrameRate fps,
                                    double near, double deepest) {
  const auto clean = [&](double scale) { return judge.scaled(scale).clean(exposure_s, fps); };
  if (clean(deepest)) return deepest;
  // The search starts close to its end, and then widens by a step at a time.
  constexpr double just_inside = 0.8;
  constexpr double step = 1.6;
  constexpr double hopeless = 1e-6;  // of the deepest: no lamp is steadier
  constexpr int halvings = 8;        // to a quarter of a per cent of the last step
  double passes = std::min(deepest, just_inside * near);
  while (!clean(passes)) {
    passes *= 0.5;
    if (passes < hopeless * deepest) return std::nullopt;
  }
  double fails = std::min(deepest, step * passes);
  while (fails < deepest && clean(fails)) {
    passes = fails;
    fails = std::min(deepest, step * fails);
  }
  for (int i = 0; i < halvings; ++i) {
    const double middle = 0.5 * (passes + fails);
    (clean(middle) ? passes : fails) = middle;
  }
  return passes;
}

std::optional<double> steady_share_for(double scale) {
  constexpr double told = 1000.0;  // in thousandths
  const double share = std::ceil(told * (1.0 - scale)) / told;
  return share < 1.0 ? std::optional(share) : std::nullopt;
}

std::optional<double> steady_share(const judge::Judge& judge, double exposure_s, FrameRate fps,
                                   double visibility) {
  // Visibility is nearly proportional to the ripple.
  const double near = clean_below / std::max(visibility, clean_below);
  const std::optional<double> scale = deepest_clean(judge, exposure_s, fps, near, 1.0);
  return scale ? steady_share_for(*scale) : std::nullopt;
}

}  // namespace lampbeat::reasoning::shutters
