#include "footage/answer/curve_check.hpp"

#include <algorithm>
#include <array>
#include <cmath>

namespace lampbeat::footage::answer {

namespace {

// A curve is contradicted where the parts differ by so much, in mean squares over chance (three
// standard deviations), and another explains this share of it.
constexpr double contradicted = 9.0;
constexpr double left_by_right_curve = 0.25;
// Under the right curve the parts agree so far; where other light dilutes the bands, they do not.
constexpr double still_equal = 5.0;
// A curve that leaves little more than the best one may be the right one too.
constexpr double as_good = 2.0;
constexpr double by_chance = 1.0;
constexpr std::size_t fewest_parts = 3;

/// How unequal the parts are, in mean squares over chance, and their common depth.
struct Equality {
  double misfit = 0.0;
  double depth = 0.0;
  std::size_t parts = 0;

  bool tells() const { return parts >= fewest_parts; }
  bool contradicts() const { return tells() && misfit >= contradicted; }
};

Equality equality_of(stretches::PartDepths depths) {
  // Stretches agree on what all of them have wrong.
  for (auto& d : depths) {
    if (d) d->variance = std::max(d->variance, std::pow(stretches::least_depth_sd * d->depth, 2));
  }
  Equality equal;
  double weights = 0.0;
  for (const auto& d : depths) {
    if (!d) continue;
    ++equal.parts;
    weights += 1.0 / d->variance;
    equal.depth += d->depth / d->variance;
  }
  if (equal.parts < 2) return equal;
  equal.depth /= weights;
  for (const auto& d : depths) {
    if (d) equal.misfit += std::pow(d->depth - equal.depth, 2) / d->variance;
  }
  equal.misfit /= static_cast<double>(equal.parts - 1);
  return equal;
}

/// Equal by brightness, and as equal by place: light mixed unevenly passes for a curve otherwise.
Equality equality_under(const stretches::CurveDepths& depths) {
  Equality equal = equality_of(depths.by_brightness);
  equal.misfit = std::max(equal.misfit, equality_of(depths.by_place).misfit);
  return equal;
}

double bright_over_dark(const stretches::PartDepths& parts) {
  const auto known = [](const auto& d) { return d.has_value(); };
  const auto dark = std::find_if(parts.begin(), parts.end(), known);
  const auto bright = std::find_if(parts.rbegin(), parts.rend(), known);
  return (*bright)->depth / (*dark)->depth;
}

}  // namespace

bool agrees_with_curve(const stretches::CurveEvidence& evidence) {
  const Equality assumed = equality_of(evidence.assumed.by_brightness);
  return assumed.tells() && !assumed.contradicts();
}

std::optional<BetterCurve> better_curve(const stretches::CurveEvidence& evidence) {
  const Equality assumed = equality_of(evidence.assumed.by_brightness);
  if (!assumed.contradicts()) return std::nullopt;
  std::array<Equality, stretches::known_curves.size()> under;
  std::transform(evidence.curve.begin(), evidence.curve.end(), under.begin(), equality_under);
  const auto best = std::min_element(
      under.begin(), under.end(), [](const auto& a, const auto& b) { return a.misfit < b.misfit; });
  if (best->misfit > std::min(left_by_right_curve * assumed.misfit, still_equal)) {
    return std::nullopt;
  }
  BetterCurve better;
  better.curve = stretches::known_curves[static_cast<std::size_t>(best - under.begin())];
  better.deeper = best->depth / assumed.depth;
  better.bright = bright_over_dark(evidence.assumed.by_brightness);
  const double good = std::max(as_good * best->misfit, by_chance);
  for (const Equality& e : under) {
    if (e.misfit > good || !(e.depth > 0.0)) continue;
    better.least = std::min(better.least, e.depth / assumed.depth);
    better.most = std::max(better.most, e.depth / assumed.depth);
  }
  return better;
}

}  // namespace lampbeat::footage::answer
