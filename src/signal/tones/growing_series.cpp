#include "signal/tones/growing_series.hpp"

#include <algorithm>
#include <cmath>

#include "signal/tones/folded_members.hpp"
#include "signal/tones/mains_series.hpp"

namespace lampbeat::signal::tones {
namespace {

/// An edge's multiples fall with 1/order; three times that leaves room for a strongest member that
/// is not the first.
constexpr double steepest_orders = 3.0;
/// Within the range of an int, and far beyond any order there is.
constexpr double highest_order = 1e6;

}  // namespace

double GrowingSeries::hz_sd() const { return 1.0 / std::sqrt(weight); }

void GrowingSeries::learn(double seen_hz, double seen_sd, int order, double amplitude) {
  const double own_hz = seen_hz / order;
  const double own_sd = seen_sd / order;
  const double w = 1.0 / (own_sd * own_sd);
  hz = (hz * weight + own_hz * w) / (weight + w);
  weight += w;
  strongest = std::max(strongest, amplitude);
  member_amplitude[order] = amplitude;
  if (order % 2 != 0) even_orders_only = false;
}

void Sorting::take(std::size_t line, const lines::TiedLine& as) {
  taken[line] = true;
  members.push_back(as);
}

double tolerance_hz(const LineField& field, std::size_t line, const GrowingSeries& series,
                    double order) {
  const double noise = agreement_sds * std::hypot(field.hz_sd(line), order * series.hz_sd());
  return series.mains && !weak_enough(field, line, series, order) ? noise : noise + field.pull_hz();
}

bool weak_enough(const LineField& field, std::size_t line, const GrowingSeries& series,
                 double order) {
  return field.amplitude(line) <= series.strongest * std::min(1.0, steepest_orders / order);
}

std::optional<int> order_in(const LineField& field, std::size_t line, const GrowingSeries& series) {
  const double order = std::round(field.hz(line) / series.hz);
  if (order < 1.0 || order > highest_order) return std::nullopt;
  const double within = tolerance_hz(field, line, series, order);
  if (within > most_of_spacing * series.hz) return std::nullopt;
  if (std::abs(field.hz(line) - order * series.hz) > within) return std::nullopt;
  return static_cast<int>(order);
}

void open_series(const LineField& field, Sorting& sorting, GrowingSeries series, Start start) {
  const std::size_t place = sorting.series.size();
  series.hz = field.hz(start.line) / start.order;
  series.weight = 0.0;
  const auto join = [&](std::size_t line, int order) {
    series.learn(field.hz(line), field.hz_sd(line), order, field.amplitude(line));
    sorting.take(line, lines::TiedLine{place, order});
  };
  join(start.line, start.order);
  for (const std::size_t line : field.rising()) {
    if (sorting.taken[line]) continue;
    const std::optional<int> order = order_in(field, line, series);
    if (!order) continue;
    const bool plausible = series.mains ? plausible_mains_order(field, line, *order, series)
                                        : in_company(field, line, series, *order);
    if (plausible) join(line, *order);
  }
  sorting.series.push_back(std::move(series));
}

}  // namespace lampbeat::signal::tones
