#include "signal/tones/folded_members.hpp"

#include <algorithm>
#include <cmath>

namespace lampbeat::signal::tones {
namespace {

/// An edge's multiples fall with 1/order; ten times that leaves room for a pulse so narrow that its
/// first ten are equally strong.
constexpr double equally_strong_orders = 10.0;
/// Folds lie a fundamental apart for each turn of the rate. Known to a fiftieth of that, to either
/// side, their places cover a twenty-fifth of the spectrum; known worse, they tell nothing.
constexpr double parts_of_base = 50.0;
/// Fewer orders below half the rate do not show how they fall.
constexpr int telling_orders = 4;
/// No multiple of a pulse of any duty is stronger than the strongest of the upper half of the
/// orders below it (computed for 4 to 40 of them); two may fold onto one place.
constexpr double over_the_strongest = 2.0;
/// A rhythm of which so many folds are recognised has more that are not.
constexpr int several_folds = 3;

/// Company: of the eight orders below, so many lines at least a quarter as strong.
constexpr int orders_looked_at = 8;
constexpr int enough_company = 2;
constexpr double as_strong_as = 0.25;
constexpr double merged_bins = 1.5;  ///< two that fell together lie beside their places

/// The most an edge gives its multiple of this order, as a share of the strongest.
double edge_share(int order) { return std::min(1.0, equally_strong_orders / order); }

/// How far a line may lie from the given multiple of another line.
double fold_tolerance_hz(const LineField& field, std::size_t line, std::size_t base, int order) {
  return agreement_sds * std::hypot(field.hz_sd(line), order * field.hz_sd(base)) + field.pull_hz();
}

/// Whether the place may be zero, or half the rate: what folds there is not told from the mean, or
/// from samples that alternate, and in a fit the two would trade.
bool may_be_level(const LineField& field, double seen_hz, double within_hz) {
  return std::min(seen_hz, field.half_rate_hz() - seen_hz) <= within_hz;
}

bool switched(const LineField& field, std::size_t base, std::size_t asking) {
  const auto seen = [&](int order) {
    const double hz = field.seen_hz(order * field.hz(base));
    const auto& lines = field.by_strength();
    return std::any_of(lines.begin(), lines.end(), [&](std::size_t other) {
      return other != base && other != asking &&
             std::abs(field.hz(other) - hz) <= fold_tolerance_hz(field, other, base, order);
    });
  };
  return seen(2) || seen(3);
}

}  // namespace

bool fold_of_stronger(const LineField& field, std::size_t line) {
  for (const std::size_t base : field.by_strength()) {
    if (base == line) return false;
    if (!switched(field, base, line)) continue;
    const double base_hz = field.hz(base);
    const int first = static_cast<int>(field.half_rate_hz() / base_hz) + 1;
    for (int order = first; order <= highest_folded_order; ++order) {
      if (field.amplitude(line) > field.amplitude(base) * edge_share(order)) break;
      const double within = fold_tolerance_hz(field, line, base, order);
      if (within > base_hz / parts_of_base) break;
      if (std::abs(field.hz(line) - field.seen_hz(order * base_hz)) <= within) return true;
    }
  }
  return false;
}

double most_folded(const LineField& field, const GrowingSeries& series, int order) {
  const int open_orders = static_cast<int>(field.half_rate_hz() / series.hz);
  if (open_orders < telling_orders) return series.strongest * edge_share(order);
  double upper = 0.0;
  for (const auto& [member, amplitude] : series.member_amplitude) {
    if (member >= open_orders / 2 && member <= open_orders) upper = std::max(upper, amplitude);
  }
  return over_the_strongest * upper;
}

bool in_company(const LineField& field, std::size_t line, const GrowingSeries& series, int order) {
  const int step = series.order_step();
  const int lowest = orders_looked_at * step;
  if (order <= lowest) return true;
  int company = 0;
  for (int below = order - step; below >= order - lowest; below -= step) {
    const double seen_hz = field.seen_hz(below * series.hz);
    const auto& lines = field.by_strength();
    company += std::any_of(lines.begin(), lines.end(), [&](std::size_t other) {
      return other != line && field.amplitude(other) >= as_strong_as * field.amplitude(line) &&
             std::abs(field.hz(other) - seen_hz) <=
                 std::max(tolerance_hz(field, other, series, below), field.bins_hz(merged_bins));
    });
  }
  return company >= enough_company;
}

std::optional<lines::TiedLine> folded_member(const LineField& field, std::size_t line,
                                             const std::vector<GrowingSeries>& all) {
  for (std::size_t place = 0; place < all.size(); ++place) {
    const GrowingSeries& series = all[place];
    const int step = series.order_step();
    int order = static_cast<int>(field.half_rate_hz() / series.hz) + 1;
    order += (step - order % step) % step;
    for (; order <= highest_folded_order; order += step) {
      if (field.amplitude(line) > most_folded(field, series, order)) break;
      const double within = tolerance_hz(field, line, series, order);
      if (within > most_of_spacing * series.hz) break;
      const double seen_hz = field.seen_hz(order * series.hz);
      if (std::abs(field.hz(line) - seen_hz) > within) continue;
      if (may_be_level(field, seen_hz, within)) continue;
      if (in_company(field, line, series, order)) return lines::TiedLine{place, order};
    }
  }
  return std::nullopt;
}

std::optional<double> clutter_of(const LineField& field, const std::vector<GrowingSeries>& all) {
  std::optional<double> most;
  for (const GrowingSeries& series : all) {
    double strongest = 0.0;
    int folded = 0;
    for (const auto& [order, amplitude] : series.member_amplitude) {
      if (order * series.hz <= field.half_rate_hz()) continue;
      strongest = std::max(strongest, amplitude);
      ++folded;
    }
    if (folded >= several_folds) most = std::max(most.value_or(0.0), strongest);
  }
  return most;
}

}  // namespace lampbeat::signal::tones
