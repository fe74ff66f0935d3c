#include "signal/tones/grouping.hpp"

#include <algorithm>
#include <cmath>
#include <map>
#include <numeric>

namespace lampbeat::signal {
namespace {

/// Combined standard uncertainties within which two frequencies count as one.
constexpr double agreement_sd = 4.0;
/// Part of a bin (1/duration) by which lines that were not seen may pull those that were.
constexpr double unseen_pull_bins = 0.02;
/// What even a perfect fit may be off by.
constexpr double rounding_bins = 1e-4;
/// A lone weak line this close to where a series must have one is that one, disturbed by another.
constexpr double disturbed_bins = 0.5;
/// Highest order at which a folded harmonic is still recognised.
constexpr int highest_folded_order = 400;
constexpr int widest_sideband = 6;

/// A fundamental while its members are being gathered.
struct Growing {
  double hz = 0.0;
  double weight = 0.0;  // inverse variance
  double strongest = 0.0;
  bool mains = false;
  bool even_orders_only = true;
  std::map<int, double> member_amplitude;  // by order

  double sd() const { return 1.0 / std::sqrt(weight); }
  void learn(double seen_hz, double seen_sd) {
    const double w = 1.0 / (seen_sd * seen_sd);
    hz = (hz * weight + seen_hz * w) / (weight + w);
    weight += w;
  }
};

class Grouper {
 public:
  Grouper(const LineFit& fit, const GroupingContext& context)
      : lines_(fit.lines), context_(context), taken_(fit.lines.size(), false) {
    strength_.resize(lines_.size());
    std::iota(strength_.begin(), strength_.end(), std::size_t{0});
    std::sort(strength_.begin(), strength_.end(), [this](std::size_t a, std::size_t b) {
      return lines_[a].amplitude > lines_[b].amplitude;
    });
    rising_ = strength_;
    std::sort(rising_.begin(), rising_.end(),
              [this](std::size_t a, std::size_t b) { return lines_[a].hz < lines_[b].hz; });
  }

  Grouping group() {
    if (const auto start = mains_start()) {
      Growing mains;
      mains.mains = true;
      found_.mains = 0;
      open_series(mains, *start);
    }
    for (const std::size_t i : strength_) {
      if (taken_[i]) continue;
      if (join_folded(i) || join_sideband(i)) continue;
      const int order = order_of_strongest(i);
      if (order == 1 && members_if(i, 1) == 1) {
        if (join_disturbed(i)) continue;
        if (lines_[i].amplitude <= clutter()) {
          taken_[i] = true;
          continue;
        }
      }
      open_series(Growing{}, Start{i, order});
    }
    for (const Growing& s : series_) found_.model.fundamental_hz.push_back(s.hz);
    found_.clutter = clutter();
    return std::move(found_);
  }

 private:
  struct Start {
    std::size_t line;
    int order;
  };

  double own_sd(std::size_t i) const {
    return std::hypot(lines_[i].hz_sd, rounding_bins / context_.duration_s);
  }
  double pull() const { return unseen_pull_bins / context_.duration_s; }
  double tolerance(std::size_t i, const Growing& s, double order) const {
    const double noise = agreement_sd * std::hypot(own_sd(i), order * s.sd());
    return s.mains && !weak_enough(i, s, order) ? noise : noise + pull();
  }
  /// Ripple falls off with its order at least as fast as edges make it. A tone stronger than that
  /// at a high multiple of the mains is a light's own rhythm until the figures prove otherwise.
  bool weak_enough(std::size_t i, const Growing& s, double order) const {
    return lines_[i].amplitude <= s.strongest * std::min(1.0, 3.0 / order);
  }
  void take(std::size_t i, const Line& line) {
    taken_[i] = true;
    found_.model.lines.push_back(line);
  }

  /// The order at which line `i` fits fundamental `hz` in the open, below half the sampling rate.
  std::optional<int> order_in(std::size_t i, const Growing& s) const {
    const double order = std::round(lines_[i].hz / s.hz);
    if (order < 1.0 || order > 1e6) return std::nullopt;
    const double within = tolerance(i, s, order);
    if (within > s.hz / 8.0) return std::nullopt;  // everything would fit
    if (std::abs(lines_[i].hz - order * s.hz) > within) return std::nullopt;
    return static_cast<int>(order);
  }

  void open_series(Growing s, Start start) {
    s.hz = lines_[start.line].hz / start.order;
    s.weight = 0.0;
    const std::size_t place = series_.size();
    const auto join = [&](std::size_t i, int order) {
      s.learn(lines_[i].hz / order, own_sd(i) / order);
      s.strongest = std::max(s.strongest, lines_[i].amplitude);
      s.member_amplitude[order] = lines_[i].amplitude;
      if (order % 2 != 0) s.even_orders_only = false;
      take(i, Line{place, order});
    };
    join(start.line, start.order);
    for (const std::size_t i : rising_) {
      if (taken_[i]) continue;
      const auto order = order_in(i, s);
      if (!order) continue;
      const bool plausible =
          s.mains ? plausible_mains_order(i, *order, s, place) : in_company(i, s, *order, 1);
      if (plausible) join(i, *order);
    }
    series_.push_back(s);
  }

  /// Multiples of the mains stand so close together high up that a stranger may fall on one by
  /// chance. Odd multiples come with uneven half cycles, which show at the mains itself or thrice
  /// it first; and where chance is no longer remote, a member needs a neighbour below it.
  bool plausible_mains_order(std::size_t i, int order, const Growing& s, std::size_t place) const {
    const auto has = [&](auto&& wanted) {
      return std::any_of(
          found_.model.lines.begin(), found_.model.lines.end(),
          [&](const Line& line) { return line.fundamental == place && wanted(line.order); });
    };
    const bool odd = order % 2 != 0;
    if (odd && order > 3 && !has([](int k) { return k % 2 != 0; })) return false;
    const double spacing = s.even_orders_only ? 2.0 * s.hz : s.hz;
    const double chance = tolerance(i, s, order) / spacing;
    if (!weak_enough(i, s, order)) return chance < 0.002;
    if (chance < 0.02) return true;
    return has([&](int k) { return k < order && k >= order - 8 && (k - order) % 2 == 0; });
  }

  /// The line that tells the mains frequency.
  std::optional<Start> mains_start() const {
    struct Band {
      double low, high;
      int order;
    };
    std::vector<Band> doubled;
    std::vector<Band> plain;
    const auto add = [&](double hz, double spread) {
      doubled.push_back({2.0 * hz * (1.0 - spread), 2.0 * hz * (1.0 + spread), 2});
      plain.push_back({hz * (1.0 - spread), hz * (1.0 + spread), 1});
    };
    if (context_.mains_hz) {
      add(*context_.mains_hz, 0.025);
    } else {
      add(50.0, 0.015);
      add(60.0, 0.015);
    }
    for (const auto* bands : {&doubled, &plain}) {
      for (const std::size_t i : strength_) {
        for (const Band& band : *bands) {
          const double hz = lines_[i].hz;
          if (hz < band.low || hz > band.high) continue;
          if (overtone_of_stronger(i, band.order) || fold_of_stronger(i)) continue;
          return Start{i, band.order};
        }
      }
    }
    return std::nullopt;
  }

  /// Whether line `i` is a whole multiple of a stronger, lower line that is not the mains itself.
  bool overtone_of_stronger(std::size_t i, int mains_order) const {
    for (const std::size_t j : strength_) {
      if (j == i) return false;
      const double order = std::round(lines_[i].hz / lines_[j].hz);
      if (order < 2.0 || order > 12.0 || order == mains_order) continue;
      const double within = agreement_sd * std::hypot(own_sd(i), order * own_sd(j));
      if (std::abs(lines_[i].hz - order * lines_[j].hz) <= within) return true;
    }
    return false;
  }

  /// Whether line `i` is where a weaker harmonic of a stronger switched rhythm folds to. A rhythm
  /// counts as switched when its second or third multiple is seen, too.
  bool fold_of_stronger(std::size_t i) const {
    for (const std::size_t j : strength_) {
      if (j == i) return false;
      const double base = lines_[j].hz;
      const auto seen = [&](int order) {
        const double hz = folded_hz(order * base, context_.rate_hz);
        return std::any_of(strength_.begin(), strength_.end(), [&](std::size_t other) {
          return other != j && other != i &&
                 std::abs(lines_[other].hz - hz) <=
                     agreement_sd * std::hypot(own_sd(other), order * own_sd(j)) + pull();
        });
      };
      if (!seen(2) && !seen(3)) continue;
      const int first = static_cast<int>(context_.rate_hz / 2.0 / base) + 1;
      for (int order = first; order <= highest_folded_order; ++order) {
        if (lines_[i].amplitude > lines_[j].amplitude * std::min(1.0, 10.0 / order)) break;
        const double within = agreement_sd * std::hypot(own_sd(i), order * own_sd(j)) + pull();
        if (within > base / 50.0) break;
        if (std::abs(lines_[i].hz - folded_hz(order * base, context_.rate_hz)) <= within) {
          return true;
        }
      }
    }
    return false;
  }

  /// The strongest line of a series need not be its fundamental: try its half, third and quarter,
  /// and keep the one that explains more lines, the fundamental itself among them. That one must be
  /// more than a fold of the strongest: near a simple fraction of the sampling rate folds line up.
  int order_of_strongest(std::size_t strongest) const {
    constexpr double least_fundamental = 0.03;
    int best = 1;
    int best_count = members_if(strongest, 1);
    for (int order = 2; order <= 4; ++order) {
      const double fundamental = lines_[strongest].hz / order;
      const bool present = std::any_of(rising_.begin(), rising_.end(), [&](std::size_t i) {
        return !taken_[i] && i != strongest &&
               lines_[i].amplitude >= least_fundamental * lines_[strongest].amplitude &&
               std::abs(lines_[i].hz - fundamental) <=
                   agreement_sd * std::hypot(own_sd(i), own_sd(strongest) / order) &&
               !fold_of_stronger(i);
      });
      const int count = members_if(strongest, order);
      if (present && count > best_count) {
        best = order;
        best_count = count;
      }
    }
    return best;
  }
  int members_if(std::size_t strongest, int order) const {
    Growing s;
    s.hz = lines_[strongest].hz / order;
    s.weight = std::pow(order / own_sd(strongest), 2);
    int count = 0;
    for (const std::size_t i : rising_) {
      if (!taken_[i] && order_in(i, s)) ++count;
    }
    return count;
  }

  /// The most that a folded harmonic may plausibly have: orders beyond half the sampling rate are
  /// no stronger than about twice the strongest in the upper half of those below it. A series with
  /// few orders below it is held to the law of edges instead, a fall with 1/order.
  double most_folded(const Growing& s, int order) const {
    const int open_orders = static_cast<int>(context_.rate_hz / 2.0 / s.hz);
    if (open_orders < 4) return s.strongest * std::min(1.0, 10.0 / order);
    double upper = 0.0;
    for (const auto& [member, amplitude] : s.member_amplitude) {
      if (member >= open_orders / 2 && member <= open_orders) upper = std::max(upper, amplitude);
    }
    return 2.0 * upper;
  }

  /// The strongest recognised fold of a rhythm of which several are recognised: there are more,
  /// weaker or merged ones that are not.
  double clutter() const {
    double most = 0.0;
    for (const Growing& s : series_) {
      double strongest = 0.0;
      int folded = 0;
      for (const auto& [order, amplitude] : s.member_amplitude) {
        if (order * s.hz <= context_.rate_hz / 2.0) continue;
        strongest = std::max(strongest, amplitude);
        ++folded;
      }
      if (folded >= 3) most = std::max(most, strongest);
    }
    return most;
  }

  /// A harmonic above half the sampling rate, seen where it folds to.
  bool join_folded(std::size_t i) {
    for (std::size_t place = 0; place < series_.size(); ++place) {
      Growing& s = series_[place];
      const int step = s.mains && s.even_orders_only ? 2 : 1;
      int order = static_cast<int>(context_.rate_hz / 2.0 / s.hz) + 1;
      order += (step - order % step) % step;
      for (; order <= highest_folded_order; order += step) {
        if (lines_[i].amplitude > most_folded(s, order)) break;
        const double within = tolerance(i, s, order);
        if (within > s.hz / 8.0) break;
        const double seen = folded_hz(order * s.hz, context_.rate_hz);
        if (std::abs(lines_[i].hz - seen) > within || !in_company(i, s, order, step)) continue;
        s.member_amplitude[order] = lines_[i].amplitude;
        take(i, Line{place, order});
        return true;
      }
    }
    return false;
  }

  /// Whether a harmonic of a high order has others of its strength just below it. Harmonics change
  /// slowly from order to order; with so many orders to try, a stranger falls on one by chance.
  bool in_company(std::size_t i, const Growing& s, int order, int step) const {
    constexpr int looked_at = 8;
    constexpr int enough = 2;
    constexpr double as_strong_as = 0.25;
    constexpr double merged_bins = 1.5;  // two that fell together lie beside their places
    if (order <= looked_at * step) return true;
    int company = 0;
    for (int below = order - step; below >= order - looked_at * step; below -= step) {
      const double seen = folded_hz(below * s.hz, context_.rate_hz);
      company += std::any_of(strength_.begin(), strength_.end(), [&](std::size_t other) {
        return other != i && lines_[other].amplitude >= as_strong_as * lines_[i].amplitude &&
               std::abs(lines_[other].hz - seen) <=
                   std::max(tolerance(other, s, below), merged_bins / context_.duration_s);
      });
    }
    return company >= enough;
  }

  /// A sum or difference of a carrier's harmonic, itself present and stronger, and a multiple of
  /// another series.
  bool join_sideband(std::size_t i) {
    for (std::size_t carrier = 0; carrier < series_.size(); ++carrier) {
      const Growing& c = series_[carrier];
      if (c.mains) continue;
      for (std::size_t other = 0; other < series_.size(); ++other) {
        if (other == carrier) continue;
        const Growing& m = series_[other];
        const int step = m.mains && m.even_orders_only ? 2 : 1;
        for (const auto& [order, amplitude] : c.member_amplitude) {
          if (lines_[i].amplitude > amplitude) continue;
          for (int width = step; width <= widest_sideband * step; width += step) {
            for (const int side : {-1, 1}) {
              if (join_as(i, carrier, order, other, side * width)) return true;
            }
          }
        }
      }
    }
    return false;
  }

  bool join_as(std::size_t i, std::size_t carrier, int order, std::size_t other, int width) {
    const Growing& c = series_[carrier];
    const Growing& m = series_[other];
    const double hz = order * c.hz + width * m.hz;
    const double within =
        agreement_sd * std::hypot(own_sd(i), std::hypot(order * c.sd(), std::abs(width) * m.sd())) +
        3.0 * pull();
    if (within > std::min(c.hz, m.hz) / 8.0) return false;
    if (std::abs(lines_[i].hz - folded_hz(hz, context_.rate_hz)) > within) return false;
    const int sign = hz > 0.0 ? 1 : -1;
    take(i, Line{carrier, sign * order, other, sign * width});
    return true;
  }

  /// A lone line close beside a place where a series must have one: two lines that merged. The
  /// fit that follows puts the member where it belongs, and the other shows in what is left.
  bool join_disturbed(std::size_t i) {
    for (std::size_t place = 0; place < series_.size(); ++place) {
      Growing& s = series_[place];
      const int open_orders = static_cast<int>(context_.rate_hz / 2.0 / s.hz);
      const int step = s.mains && s.even_orders_only ? 2 : 1;
      const int highest = s.mains ? open_orders : std::min(2 * open_orders, highest_folded_order);
      for (int order = step; order <= highest; order += step) {
        if (s.member_amplitude.count(order) != 0) continue;
        if (order <= open_orders ? !weak_enough(i, s, order)
                                 : lines_[i].amplitude > most_folded(s, order)) {
          continue;
        }
        const double seen = folded_hz(order * s.hz, context_.rate_hz);
        if (std::abs(lines_[i].hz - seen) > disturbed_bins / context_.duration_s) continue;
        s.member_amplitude[order] = lines_[i].amplitude;
        take(i, Line{place, order});
        return true;
      }
    }
    return false;
  }

  const std::vector<FittedLine>& lines_;
  const GroupingContext& context_;
  std::vector<bool> taken_;
  std::vector<std::size_t> strength_;
  std::vector<std::size_t> rising_;
  std::vector<Growing> series_;
  Grouping found_;
};

}  // namespace

Grouping group_lines(const LineFit& free_fit, const GroupingContext& context) {
  return Grouper(free_fit, context).group();
}

}  // namespace lampbeat::signal
