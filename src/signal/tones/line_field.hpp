#pragma once

#include <optional>
#include <span>
#include <vector>

#include "arithmetic/alias.hpp"
#include "signal/lines/line_fit.hpp"
#include "signal/tones/grouping.hpp"

namespace lampbeat::signal::tones {

/// Combined standard uncertainties within which two frequencies count as one. Noise parts a member
/// from its series once in 16 000 (two-sided): of a window's 64 lines one is missed in 250 windows.
inline constexpr double agreement_sds = 4.0;
/// The highest order at which a folded harmonic is still recognised: an edge gives it 2/(π · 400),
/// a sixth of a percent of its step.
inline constexpr int highest_folded_order = 400;
/// A tolerance beyond an eighth of the spacing between places, to either side of each, would take
/// in a quarter of all strangers.
inline constexpr double most_of_spacing = 1.0 / 8.0;

/// The lines of a window as they were fitted, each by itself, ranked. Never changes while they are
/// sorted into series.
class LineField {
 public:
  LineField(std::span<const lines::FittedLine> lines, const GroupingContext& context);

  std::size_t size() const { return lines_.size(); }
  double hz(std::size_t line) const { return lines_[line].hz; }
  double amplitude(std::size_t line) const { return lines_[line].amplitude; }
  /// Standard uncertainty of a line's frequency, and at least what a perfect fit may be off by.
  double hz_sd(std::size_t line) const;
  /// How far lines that were not seen may pull those that were.
  double pull_hz() const;
  double bins_hz(double bins) const { return bins / context_.duration_s; }
  double half_rate_hz() const { return context_.rate_hz / 2.0; }
  /// Where a frequency shows in this window.
  double seen_hz(double hz) const { return arithmetic::folded_hz(hz, context_.rate_hz); }
  const std::optional<double>& stated_mains_hz() const { return context_.mains_hz; }

  const std::vector<std::size_t>& by_strength() const { return by_strength_; }  ///< strongest first
  const std::vector<std::size_t>& rising() const { return rising_; }            ///< slowest first

 private:
  std::span<const lines::FittedLine> lines_;
  GroupingContext context_;
  std::vector<std::size_t> by_strength_;
  std::vector<std::size_t> rising_;
};

}  // namespace lampbeat::signal::tones
