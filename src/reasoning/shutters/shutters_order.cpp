#include "reasoning/shutters/shutters_order.hpp"

#include <cmath>

#include "lampbeat/visibility.hpp"

namespace lampbeat::reasoning::shutters {

int quarter_stops(double stops_from_180deg) {
  return static_cast<int>(std::round(4.0 * std::abs(stops_from_180deg)));
}

bool is_marginal(const Setting& s) {
  return is_clean(s.worst) && !s.whole_cycles && s.worst.visibility > marginal_part * clean_below;
}

int ranked_quarter_stops(const Setting& s) {
  return quarter_stops(s.stops_from_180deg) + (is_marginal(s) ? marginal_costs : 0);
}

double told_apart(double visibility) {
  constexpr double nobody_sees = clean_below / 12.0;
  return visibility < nobody_sees ? 0.0 : visibility;
}

bool stands_before(const Setting& a, const Setting& b, bool by_whole_cycles) {
  const auto at_rest = [](const Setting& s) {
    return is_clean(s.worst) ? 0 : is_clean(s.nominal) ? 1 : 2;
  };
  if (by_whole_cycles && at_rest(a) != at_rest(b)) return at_rest(a) < at_rest(b);
  if (a.worst.verdict != b.worst.verdict) return a.worst.verdict < b.worst.verdict;
  const int near_a = ranked_quarter_stops(a);
  const int near_b = ranked_quarter_stops(b);
  const bool usable = a.worst.verdict <= Verdict::borderline || (by_whole_cycles && at_rest(a) < 2);
  if (usable && near_a != near_b) return near_a < near_b;
  const double seen_a = told_apart(a.worst.visibility);
  const double seen_b = told_apart(b.worst.visibility);
  if (seen_a != seen_b) return seen_a < seen_b;
  const double off_a = std::abs(a.stops_from_180deg);
  const double off_b = std::abs(b.stops_from_180deg);
  return off_a != off_b ? off_a < off_b : a.exposure_s > b.exposure_s;
}

}  // namespace lampbeat::reasoning::shutters
