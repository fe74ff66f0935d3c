#include <fmt/format.h>
#include <algorithm>
#include <cmath>
#include <complex>
#include <limits>
#include <vector>

#include "lampbeat/standards.hpp"
#include "signal/fft.hpp"

// California Energy Code, Joint Appendix JA10: conditions from JA10.5, calculation from JA10.6.

namespace lampbeat {
namespace {

constexpr double longest_interval_s = 50e-6;
constexpr double shortest_record_s = 1.0;
constexpr double most_trimmed = 0.1;

/// How far the rhythms are from whole cycles in so many samples; the worst of them, in cycles.
double broken_cycle(double samples, double interval_s, std::span<const double> rhythms_hz) {
  double worst = 0.0;
  for (const double hz : rhythms_hz) {
    const double cycles = samples * interval_s * hz;
    worst = std::max(worst, std::abs(cycles - std::round(cycles)));
  }
  return worst;
}

/// The length nearest to whole cycles of every rhythm; the longest of those equally near.
std::size_t whole_cycles(const Window& window, std::span<const double> rhythms_hz) {
  const std::size_t all = window.size();
  const auto spare = static_cast<std::size_t>(static_cast<double>(all) * most_trimmed);
  std::size_t best = all;
  double least = std::numeric_limits<double>::infinity();
  for (std::size_t n = all; n + spare >= all; --n) {
    const double broken = broken_cycle(static_cast<double>(n), window.interval_s, rhythms_hz);
    if (broken < least - 1e-9) {
      least = broken;
      best = n;
    }
  }
  return best;
}

/// Extremes of the real record whose Fourier transform is `spectrum` up to line `last`, zero above.
/// The inverse comes from a forward transform: with h_k = Re X_k + Im X_k over all k (a Hartley
/// spectrum), the transform of h holds N·x_n = Re H_n + Im H_n and N·x_(N−n) = Re H_n − Im H_n.
FilteredExtremes extremes_below(const std::vector<std::complex<double>>& spectrum, std::size_t last,
                                std::size_t samples) {
  std::vector<double> hartley(samples, 0.0);
  hartley[0] = spectrum[0].real();
  for (std::size_t k = 1; k <= last; ++k) {
    hartley[k] = spectrum[k].real() + spectrum[k].imag();
    hartley[samples - k] = spectrum[k].real() - spectrum[k].imag();
  }
  const auto back = signal::forward_transform(hartley, samples);
  double highest = -std::numeric_limits<double>::infinity();
  double lowest = std::numeric_limits<double>::infinity();
  for (const auto& h : back) {
    for (const double x : {h.real() + h.imag(), h.real() - h.imag()}) {
      highest = std::max(highest, x);
      lowest = std::min(lowest, x);
    }
  }
  const double scale = 1.0 / static_cast<double>(samples);
  return {highest * scale, lowest * scale};
}

}  // namespace

std::array<std::optional<FilteredExtremes>, ja10_cut_offs_hz.size()> ja10_extremes(
    const Window& window, std::span<const double> rhythms_hz) {
  std::array<std::optional<FilteredExtremes>, ja10_cut_offs_hz.size()> result;
  if (!window.even() || window.size() < 4 || !(window.interval_s > 0.0)) return result;
  const std::size_t samples = whole_cycles(window, rhythms_hz);
  const auto spectrum = signal::forward_transform(window.value.first(samples), samples);
  const double line_hz = 1.0 / (static_cast<double>(samples) * window.interval_s);
  for (std::size_t i = 0; i < ja10_cut_offs_hz.size(); ++i) {
    const double cut_off_hz = ja10_cut_offs_hz[i];
    if (!(cut_off_hz < 0.5 / window.interval_s)) continue;
    // What is above the cut-off goes, a line at the cut-off itself stays. The record is cut to a
    // whole number of samples, which moves its lines by up to half a sample's worth.
    const double lines = cut_off_hz / line_hz * (1.0 + 0.5 / static_cast<double>(samples));
    const auto last = std::min(static_cast<std::size_t>(lines), (samples - 1) / 2);
    result[i] = extremes_below(spectrum, last, samples);
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
         fmt::format("The samples are {:.4g} µs apart; JA10 asks for 50 µs or less (20 kHz or "
                     "more). The low-pass percentages follow its arithmetic all the same, but "
                     "cannot be quoted as a JA10 test.",
                     1e6 / rate_hz)});
  }
  if (duration_s < shortest_record_s * (1.0 - rounding)) {
    findings.push_back(
        {"ja10_duration",
         fmt::format(
             "The capture lasts {:.4g} s; JA10 asks for at least 1 s of each dimming level. "
             "Record longer before quoting the low-pass percentages as a JA10 test.",
             duration_s)});
  }
  return findings;
}

}  // namespace lampbeat
