#include "signal/tones/grouping.hpp"

#include <algorithm>
#include <cmath>

#include "signal/tones/folded_members.hpp"
#include "signal/tones/growing_series.hpp"
#include "signal/tones/line_field.hpp"
#include "signal/tones/mains_series.hpp"
#include "signal/tones/sideband_members.hpp"

namespace lampbeat::signal::tones {
namespace {

/// A lone weak line this close to where a series must have one is that one, disturbed by another:
/// lines half a bin apart are one peak.
constexpr double disturbed_bins = 0.5;
/// The strongest line of a series may be its fourth multiple; beyond, a rhythm is taken for what
/// people see of it.
constexpr int highest_of_strongest = 4;
/// The fundamental beneath a stronger multiple: a thirtieth of it, as of a trace of unevenness.
constexpr double least_fundamental = 0.03;

/// How many lines would belong to a series in which `strongest` has this order.
int members_if(const LineField& field, const Sorting& sorting, std::size_t strongest, int order) {
  GrowingSeries series;
  series.hz = field.hz(strongest) / order;
  series.weight = std::pow(order / field.hz_sd(strongest), 2);
  return static_cast<int>(std::count_if(
      field.rising().begin(), field.rising().end(),
      [&](std::size_t line) { return !sorting.taken[line] && order_in(field, line, series); }));
}

/// Whether a line of the series' fundamental is seen, more than a fold of a stronger one.
bool has_fundamental(const LineField& field, const Sorting& sorting, std::size_t strongest,
                     int order) {
  const double fundamental_hz = field.hz(strongest) / order;
  return std::any_of(field.rising().begin(), field.rising().end(), [&](std::size_t line) {
    return !sorting.taken[line] && line != strongest &&
           field.amplitude(line) >= least_fundamental * field.amplitude(strongest) &&
           std::abs(field.hz(line) - fundamental_hz) <=
               agreement_sds * std::hypot(field.hz_sd(line), field.hz_sd(strongest) / order) &&
           !fold_of_stronger(field, line);
  });
}

/// The strongest line of a series need not be its fundamental: its half, third and quarter are
/// tried, and the one kept that explains more lines, the fundamental itself among them. That one
/// must be more than a fold of the strongest: near a simple fraction of the sampling rate folds
/// line up.
Start start_with(const LineField& field, const Sorting& sorting, std::size_t strongest) {
  Start best{strongest, 1};
  int most = members_if(field, sorting, strongest, 1);
  for (int order = 2; order <= highest_of_strongest; ++order) {
    const int members = members_if(field, sorting, strongest, order);
    if (members <= most || !has_fundamental(field, sorting, strongest, order)) continue;
    best.order = order;
    most = members;
  }
  return best;
}

/// Where a lone line belongs close beside a place where a series must have one: two lines that
/// merged. The fit that follows puts the member where it belongs, and the other shows in what is
/// left.
std::optional<lines::TiedLine> disturbed_member(const LineField& field, std::size_t line,
                                                const std::vector<GrowingSeries>& all) {
  for (std::size_t place = 0; place < all.size(); ++place) {
    const GrowingSeries& series = all[place];
    const int open_orders = static_cast<int>(field.half_rate_hz() / series.hz);
    const int step = series.order_step();
    const int highest =
        series.mains ? open_orders : std::min(2 * open_orders, highest_folded_order);
    for (int order = step; order <= highest; order += step) {
      if (series.member_amplitude.count(order) != 0) continue;
      const bool plausible = order <= open_orders
                                 ? weak_enough(field, line, series, order)
                                 : field.amplitude(line) <= most_folded(field, series, order);
      if (!plausible) continue;
      const double seen_hz = field.seen_hz(order * series.hz);
      if (std::abs(field.hz(line) - seen_hz) <= field.bins_hz(disturbed_bins)) {
        return lines::TiedLine{place, order};
      }
    }
  }
  return std::nullopt;
}

/// A harmonic that was not seen in the open: it does not refine the fundamental.
void join_unseen(const LineField& field, Sorting& sorting, std::size_t line,
                 const lines::TiedLine& as) {
  sorting.series[as.fundamental].member_amplitude[as.order] = field.amplitude(line);
  sorting.take(line, as);
}

/// Puts one line where it belongs, or starts a series with it.
void sort_in(const LineField& field, Sorting& sorting, std::size_t line) {
  if (const auto folded = folded_member(field, line, sorting.series)) {
    join_unseen(field, sorting, line, *folded);
    return;
  }
  if (const auto sideband = sideband_member(field, line, sorting.series)) {
    sorting.take(line, *sideband);
    return;
  }
  const Start start = start_with(field, sorting, line);
  if (start.order == 1 && members_if(field, sorting, line, 1) == 1) {
    if (const auto disturbed = disturbed_member(field, line, sorting.series)) {
      join_unseen(field, sorting, line, *disturbed);
      return;
    }
    const auto clutter = clutter_of(field, sorting.series);
    if (clutter && field.amplitude(line) <= *clutter) {
      sorting.taken[line] = true;
      return;
    }
  }
  open_series(field, sorting, GrowingSeries{}, start);
}

}  // namespace

Grouping group_lines(const lines::LineFit& free_fit, const GroupingContext& context) {
  const LineField field(free_fit.lines, context);
  Sorting sorting(field.size());
  Grouping grouping;
  if (const auto start = mains_start(field)) {
    grouping.mains = sorting.series.size();
    GrowingSeries mains;
    mains.mains = true;
    open_series(field, sorting, mains, *start);
  }
  for (const std::size_t line : field.by_strength()) {
    if (!sorting.taken[line]) sort_in(field, sorting, line);
  }
  for (const GrowingSeries& series : sorting.series) {
    grouping.model.fundamental_hz.push_back(series.hz);
  }
  grouping.model.lines = std::move(sorting.members);
  grouping.clutter = clutter_of(field, sorting.series);
  return grouping;
}

}  // namespace lampbeat::signal::tones
