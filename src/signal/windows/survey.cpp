#include "signal/windows/survey.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

#include "arithmetic/lanes.hpp"

namespace lampbeat::signal::windows {

namespace {

namespace simd = std::experimental;
using arithmetic::Lanes;
using arithmetic::lanes;
using arithmetic::lanes_at;

constexpr double endless = std::numeric_limits<double>::infinity();
static_assert(Survey::stretch % (2 * lanes) == 0);

/// No step is no smallest step.
inline Lanes where_none(Lanes step, const Lanes& none) {
  simd::where(step == Lanes(), step) = none;
  return step;
}

/// What whole stretches leave over, and the first.
Survey::Range add_one_by_one(Survey& survey, std::span<const double> raw, std::size_t from,
                             std::size_t to) {
  Survey::Range range{raw[from], raw[from]};
  for (std::size_t i = from; i < to; ++i) {
    range.lowest = std::min(range.lowest, raw[i]);
    range.highest = std::max(range.highest, raw[i]);
    survey.sum += raw[i];
    const double step = i > 0 ? std::abs(raw[i] - raw[i - 1]) : 0.0;
    if (step > 0.0) survey.smallest_step = std::min(survey.smallest_step, step);
  }
  return range;
}

}  // namespace

Survey survey_of(std::span<const double> raw) {
  Survey survey;
  survey.smallest_step = endless;
  survey.range.reserve(raw.size() / Survey::stretch + 1);
  const std::size_t head = std::min(Survey::stretch, raw.size());
  survey.range.push_back(add_one_by_one(survey, raw, 0, head));
  // Two of each, so that no sum and no minimum waits for itself.
  const Lanes none = endless;
  Lanes sum = 0.0, other_sum = 0.0;
  Lanes step = none, other_step = none;
  std::size_t at = head;
  for (; at + Survey::stretch <= raw.size(); at += Survey::stretch) {
    const double* x = raw.data() + at;
    Lanes low = lanes_at(x);
    Lanes high = low;
    for (std::size_t i = 0; i < Survey::stretch; i += 2 * lanes) {
      const Lanes a = lanes_at(x + i);
      const Lanes b = lanes_at(x + i + lanes);
      low = simd::min(low, simd::min(a, b));
      high = simd::max(high, simd::max(a, b));
      sum += a;
      other_sum += b;
      const Lanes to_a = simd::abs(a - lanes_at(x + i - 1));
      const Lanes to_b = simd::abs(b - lanes_at(x + i + lanes - 1));
      step = simd::min(step, where_none(to_a, none));
      other_step = simd::min(other_step, where_none(to_b, none));
    }
    survey.range.push_back({simd::hmin(low), simd::hmax(high)});
  }
  if (at < raw.size()) survey.range.push_back(add_one_by_one(survey, raw, at, raw.size()));
  survey.lowest = survey.range.front().lowest;
  survey.highest = survey.range.front().highest;
  for (const Survey::Range& range : survey.range) {
    survey.lowest = std::min(survey.lowest, range.lowest);
    survey.highest = std::max(survey.highest, range.highest);
  }
  survey.sum += simd::reduce(sum + other_sum);
  survey.smallest_step = std::min(survey.smallest_step, simd::hmin(simd::min(step, other_step)));
  return survey;
}

}  // namespace lampbeat::signal::windows
