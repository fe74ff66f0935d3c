#include "footage/answer/curve_check.hpp"

#include <algorithm>
#include <cmath>

#include "footage/answer/curve_limits.hpp"

namespace lampbeat::footage::answer {

namespace {

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

bool Equality::tells() const { return parts >= fewest_parts; }

bool Equality::contradicts() const { return tells() && misfit >= contradicted; }

const Equality& Equalities::best() const {
  return *std::min_element(under.begin(), under.end(),
                           [](const auto& a, const auto& b) { return a.misfit < b.misfit; });
}

Equalities equalities_of(const stretches::CurveEvidence& evidence) {
  Equalities equalities;
  equalities.assumed = equality_of(evidence.assumed.by_brightness);
  std::transform(evidence.curve.begin(), evidence.curve.end(), equalities.under.begin(),
                 equality_under);
  return equalities;
}

bool agrees_with_curve(const stretches::CurveEvidence& evidence) {
  const Equality assumed = equality_of(evidence.assumed.by_brightness);
  return assumed.tells() && !assumed.contradicts();
}

std::optional<BetterCurve> better_curve(const stretches::CurveEvidence& evidence) {
  const Equalities equalities = equalities_of(evidence);
  const Equality& assumed = equalities.assumed;
  if (!assumed.contradicts()) return std::nullopt;
  const Equality& best = equalities.best();
  if (best.misfit > std::min(left_by_right_curve * assumed.misfit, still_equal)) {
    return std::nullopt;
  }
  BetterCurve better;
  better.curve = stretches::known_curves[static_cast<std::size_t>(&best - equalities.under.data())];
  better.deeper = best.depth / assumed.depth;
  better.bright = bright_over_dark(evidence.assumed.by_brightness);
  const double good = std::max(as_good * best.misfit, by_chance);
  for (const Equality& e : equalities.under) {
    if (e.misfit > good || !(e.depth > 0.0)) continue;
    better.least = std::min(better.least, e.depth / assumed.depth);
    better.most = std::max(better.most, e.depth / assumed.depth);
  }
  return better;
}

}  // namespace lampbeat::footage::answer
