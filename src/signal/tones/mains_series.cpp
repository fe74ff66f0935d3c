#include "signal/tones/mains_series.hpp"

#include <algorithm>
#include <cmath>

#include "signal/tones/folded_members.hpp"

namespace lampbeat::signal::tones {
namespace {

/// Mains within its tolerance of every day (EN 50160: 1 % where grids are joined), seen by a clock
/// that may be a ceramic resonator's (0.5 %).
constexpr double mains_spread = 0.015;
/// The same for a frequency the user named, who may live on an island (EN 50160: 2 %).
constexpr double stated_spread = 0.025;
/// On nearly every day it stays within this (UCTE: 200 mHz of 50 Hz). A line there is the mains
/// sooner than a stronger one farther off, unless it is a mere trace of it.
constexpr double usual_spread = 0.004;
constexpr double trace = 0.02;
/// A stronger rhythm up to so many times slower may have its overtone where the mains would be.
constexpr double highest_overtone = 12.0;
/// Uneven half cycles show at these odd multiples first.
constexpr int lowest_odd_orders = 3;
/// Tolerance over the spacing of the multiples: a stranger falls on one with twice this chance. Up
/// to one in 25 the line itself is enough; beyond it needs a neighbour.
constexpr double most_chance = 0.02;
/// One too strong for ripple has only its place to speak for it: one stranger in 250.
constexpr double most_chance_of_strong = 0.002;
/// How many orders below it a neighbour may lie: multiples that cancel there, a rectifier's, are
/// few.
constexpr int neighbour_orders = 8;

struct Band {
  double nominal_hz, spread;
  int order;
  bool holds(double hz, double within) const {
    return std::abs(hz - nominal_hz) <= within * nominal_hz;
  }
};

std::vector<Band> bands_at(int order, const std::optional<double>& stated_hz) {
  std::vector<Band> bands;
  const auto add = [&](double mains_hz, double spread) {
    bands.push_back({order * mains_hz, spread, order});
  };
  if (stated_hz) {
    add(*stated_hz, stated_spread);
  } else {
    add(50.0, mains_spread);
    add(60.0, mains_spread);
  }
  return bands;
}

/// Whether a line is a whole multiple of a stronger, lower line that is not the mains itself.
bool overtone_of_stronger(const LineField& field, std::size_t line, int mains_order) {
  for (const std::size_t other : field.by_strength()) {
    if (other == line) return false;
    const double order = std::round(field.hz(line) / field.hz(other));
    if (order < 2.0 || order > highest_overtone || order == mains_order) continue;
    const double within = agreement_sds * std::hypot(field.hz_sd(line), order * field.hz_sd(other));
    if (std::abs(field.hz(line) - order * field.hz(other)) <= within) return true;
  }
  return false;
}

}  // namespace

std::optional<Start> mains_start(const LineField& field) {
  for (const int mains_order : {2, 1}) {
    std::optional<Start> strongest;
    for (const std::size_t line : field.by_strength()) {
      for (const Band& band : bands_at(mains_order, field.stated_mains_hz())) {
        if (!band.holds(field.hz(line), band.spread)) continue;
        if (overtone_of_stronger(field, line, band.order) || fold_of_stronger(field, line))
          continue;
        const bool usual = band.holds(field.hz(line), usual_spread);
        const double least = strongest ? trace * field.amplitude(strongest->line) : 0.0;
        if (usual && field.amplitude(line) >= least) return Start{line, band.order};
        if (!strongest) strongest = Start{line, band.order};
      }
    }
    if (strongest) return strongest;
  }
  return std::nullopt;
}

bool plausible_mains_order(const LineField& field, std::size_t line, int order,
                           const GrowingSeries& mains) {
  const auto has = [&](auto&& wanted) {
    return std::any_of(mains.member_amplitude.begin(), mains.member_amplitude.end(),
                       [&](const auto& member) { return wanted(member.first); });
  };
  const bool odd = order % 2 != 0;
  if (odd && order > lowest_odd_orders && !has([](int k) { return k % 2 != 0; })) return false;
  const double spacing_hz = mains.even_orders_only ? 2.0 * mains.hz : mains.hz;
  const double chance = tolerance_hz(field, line, mains, order) / spacing_hz;
  if (!weak_enough(field, line, mains, order)) return chance < most_chance_of_strong;
  if (chance < most_chance) return true;
  return has(
      [&](int k) { return k < order && k >= order - neighbour_orders && (k - order) % 2 == 0; });
}

}  // namespace lampbeat::signal::tones
