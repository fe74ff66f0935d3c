#include <fmt/format.h>
#include <algorithm>
#include <cmath>
#include <complex>
#include <limits>
#include <vector>

#include "arithmetic/lanes.hpp"
#include "arithmetic/phase.hpp"
#include "lampbeat/standards.hpp"
#include "signal/spectrum/fft.hpp"
#include "signal/spectrum/low_lines.hpp"
#include "signal/standards/circle_extremes.hpp"
#include "words/numbers.hpp"

// California Energy Code, Joint Appendix JA10: conditions from JA10.5, calculation from JA10.6.

namespace lampbeat {
namespace {

constexpr double longest_interval_s = 50e-6;  ///< JA10.5
constexpr double shortest_record_s = 1.0;     ///< JA10.5
/// Of the record, to end on whole cycles: ten cycles of a rhythm always hold some that do.
constexpr double most_trimmed = 0.1;

/// The length nearest to whole cycles of every rhythm; the longest of those equally near.
std::size_t whole_cycles(const Window& window, std::span<const double> rhythms_hz) {
  if (rhythms_hz.empty()) return window.size();
  const std::size_t all = window.size();
  const auto spare = static_cast<std::size_t>(static_cast<double>(all) * most_trimmed);
  std::size_t best = all;
  double least = std::numeric_limits<double>::infinity();
  std::size_t n = all;
  while (n + spare >= all && n > 0) {
    double broken = 0.0;  // of the rhythm farthest from whole cycles
    double cycles_a_sample = 1.0;
    for (const double hz : rhythms_hz) {
      const double off = arithmetic::off_whole(static_cast<double>(n) * window.interval_s * hz);
      if (off <= broken) continue;
      broken = off;
      cycles_a_sample = window.interval_s * hz;
    }
    if (broken < least - 1e-9) {
      least = broken;
      best = n;
    }
    // It comes nearer by no more than its own pace.
    const double until = (broken - least) / cycles_a_sample;
    n -= std::min(n, static_cast<std::size_t>(std::max(1.0, std::floor(until))));
  }
  return best;
}

/// Extremes of the real record of `samples` values whose transform is `spectrum` up to line `last`,
/// zero above. In brief: between fewer points.
FilteredExtremes extremes_below(std::span<const std::complex<double>> spectrum, std::size_t last,
                                std::size_t samples, bool in_brief) {
  using signal::standards::points_for_extremes;
  const bool fewer = in_brief && points_for_extremes(last) < samples;
  const std::vector<double> x = signal::spectrum::inverse_transform(
      spectrum.first(last + 1), fewer ? points_for_extremes(last) : samples);
  FilteredExtremes extremes;
  if (fewer) {
    extremes = signal::standards::circle_extremes(x);
  } else {
    const arithmetic::Range range = arithmetic::range_of(x);
    extremes = {range.highest, range.lowest};
  }
  const double scale = 1.0 / static_cast<double>(samples);
  return {extremes.highest * scale, extremes.lowest * scale};
}

/// Up to which line of the record's transform a cut-off lets pass. What is above the cut-off goes,
/// a line at the cut-off itself stays. The record is cut to a whole number of samples, which moves
/// its lines by up to half a sample's worth.
std::size_t last_line(double cut_off_hz, std::size_t samples, double interval_s) {
  const double line_hz = 1.0 / (static_cast<double>(samples) * interval_s);
  const double lines = cut_off_hz / line_hz * (1.0 + 0.5 / static_cast<double>(samples));
  return std::min(static_cast<std::size_t>(lines), (samples - 1) / 2);
}

}  // namespace

double cut_off_hz(Ja10CutOff cut_off) {
  constexpr PerCutOff<double> hz = {{40.0, 90.0, 200.0, 400.0, 1000.0}};
  return hz[cut_off];
}

PerCutOff<std::optional<FilteredExtremes>> ja10_extremes(const Window& window,
                                                         std::span<const double> rhythms_hz) {
  PerCutOff<std::optional<FilteredExtremes>> result;
  if (!window.even() || window.size() < 4 || !(window.interval_s > 0.0)) return result;
  const std::size_t samples = whole_cycles(window, rhythms_hz);
  const auto record = window.value.first(samples);
  const std::size_t highest =
      last_line(cut_off_hz(ja10_cut_offs.back()), samples, window.interval_s);
  // A record so dense needs neither all its lines nor all its points for the same extremes.
  const bool in_brief = signal::spectrum::few_lines(samples, highest);
  const auto spectrum = in_brief ? signal::spectrum::low_lines(record, highest)
                                 : signal::spectrum::forward_transform(record, samples);
  for (const Ja10CutOff cut_off : ja10_cut_offs) {
    if (!(cut_off_hz(cut_off) < 0.5 / window.interval_s)) continue;
    const std::size_t last = last_line(cut_off_hz(cut_off), samples, window.interval_s);
    result[cut_off] = extremes_below(spectrum, last, samples, in_brief);
  }
  return result;
}

double modulation_percent(const FilteredExtremes& extremes) {
  return 100.0 * (extremes.highest - extremes.lowest) / (extremes.highest + extremes.lowest);
}

Findings ja10_conditions(double rate_hz, double duration_s) {
  Findings findings;
  constexpr double rounding = 1e-6;
  if (rate_hz * longest_interval_s < 1.0 - rounding) {
    findings.push_back(
        {"ja10_sampling_interval",
         fmt::format("The samples are {} µs apart; JA10 asks for 50 µs or less (20 kHz or "
                     "more). The low-pass percentages follow its arithmetic all the same, but "
                     "cannot be quoted as a JA10 test.",
                     words::in_digits_at_most(1e6 / rate_hz, 4))});
  }
  if (duration_s < shortest_record_s * (1.0 - rounding)) {
    findings.push_back(
        {"ja10_duration",
         fmt::format("The capture lasts {} s; JA10 asks for at least 1 s of each dimming level. "
                     "Record longer before quoting the low-pass percentages as a JA10 test.",
                     words::in_digits_at_most(duration_s, 4))});
  }
  return findings;
}

}  // namespace lampbeat
