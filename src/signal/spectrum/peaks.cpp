#include "signal/spectrum/peaks.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "arithmetic/median.hpp"
#include "signal/spectrum/blackman_harris.hpp"

namespace lampbeat::signal::spectrum {
namespace {

/// For the floor's own uncertainty (7 % where it is a median of the fewest bins), which alone would
/// double the false alarms.
constexpr double floor_allowance = 1.04;
/// Within this many bins of a line, its main lobe of four and the two that a wandering rhythm
/// widens it by, anything below `near_line_part` of it is taken for its skirt.
constexpr double near_line_bins = 6.0;
constexpr double near_line_part = 0.08;
/// Closer than this two lines look like one: what a fit of both leaves of either is known 1.6 times
/// worse than a lone line's, of one in ten 3.4 times (bench_line_thresholds).
constexpr double closest_bins = 0.8;
/// Closer than this to a peak of the same spectrum, anything is part of the peak.
constexpr double within_peak_bins = 1.5;
/// What a line left may be spread over so many bins at its full height, doubled between two bins,
/// before it falls.
constexpr double spread_bins = 4.0;
constexpr double spread_over_left = 2.0;

/// How far the skirt of a peak in the same spectrum may reach `bins` away; its true width is not
/// known yet.
double skirt_of_peak(double amplitude, double bins) {
  if (bins < within_peak_bins) return amplitude;
  // Beyond near_line_bins a skirt falls with the distance to the power of 3/2 at least.
  const double nearness = near_line_bins / std::max(bins, near_line_bins);
  return near_line_part * amplitude * nearness * std::sqrt(nearness);
}

/// The same for a line already taken out, of which `left` remained. Skirts of a wandering rhythm
/// fall at least as the distance grows.
double skirt_of_known(double amplitude, double left, double bins) {
  if (bins < closest_bins) return amplitude;
  const double spread = spread_over_left * left * std::min(1.0, spread_bins / bins);
  return bins < near_line_bins ? std::max(spread, near_line_part * amplitude) : spread;
}

/// Noise of any colour passes this many medians of its neighbourhood once in 200 000 bins: a
/// Rayleigh amplitude passes a times its median with probability 2^(−a²).
constexpr double over_neighbourhood = 4.2;

/// Median of the bins on both sides of `at`, outside its main lobe. The lowest three bins, hollowed
/// out by the mean's removal, are left out.
double neighbourhood(const std::vector<double>& amplitude, std::size_t at) {
  constexpr std::size_t near = 5;
  constexpr std::size_t far = 20;
  constexpr std::size_t hollow = 3;
  std::vector<double> beside;
  for (std::size_t d = near; d <= far; ++d) {
    if (at >= d + hollow) beside.push_back(amplitude[at - d]);
    if (at + d < amplitude.size()) beside.push_back(amplitude[at + d]);
  }
  return beside.empty() ? 0.0 : arithmetic::upper_median(beside);
}

}  // namespace

double threshold_over_floor(double bins, double false_alarm) {
  // Rayleigh: P(amplitude > a) = exp(−a²/2s²), mean s √(π/2).
  return floor_allowance * std::sqrt(2.0 * std::log(std::max(bins, 1.0) / false_alarm)) /
         std::sqrt(std::numbers::pi / 2.0);
}

std::vector<Peak> find_peaks(const Spectrum& spectrum, const PeakRules& rules,
                             std::span<const Peak> known) {
  const std::vector<double>& a = spectrum.amplitude;
  std::vector<Peak> found;
  if (a.size() < 5) return found;
  const double ratio = threshold_over_floor(static_cast<double>(a.size()), search_false_alarm);

  std::vector<Peak> candidates;
  for (std::size_t i = 1; i + 1 < a.size(); ++i) {
    if (!(a[i] > ratio * spectrum.floor[i] && a[i] >= a[i - 1] && a[i] > a[i + 1])) continue;
    if (a[i] < over_neighbourhood * neighbourhood(a, i)) continue;
    Peak peak{static_cast<double>(i), a[i]};
    if (a[i - 1] > 0.0 && a[i + 1] > 0.0) {
      const double left = std::log(a[i - 1]);
      const double middle = std::log(a[i]);
      const double right = std::log(a[i + 1]);
      const double bend = left - 2.0 * middle + right;
      if (bend < 0.0) {
        const double offset = std::clamp(0.5 * (left - right) / bend, -0.5, 0.5);
        peak.hz += offset;
        peak.amplitude = std::exp(middle - 0.25 * (left - right) * offset);
      }
    }
    peak.hz *= spectrum.bin_hz;
    if (peak.hz < rules.lowest_hz || peak.hz > rules.highest_hz) continue;
    if (peak.amplitude < rules.least_amplitude) continue;
    candidates.push_back(peak);
  }
  std::sort(candidates.begin(), candidates.end(),
            [](const Peak& x, const Peak& y) { return x.amplitude > y.amplitude; });

  for (const Peak& peak : candidates) {
    if (!found.empty() && peak.amplitude < rules.least_of_strongest * found.front().amplitude) {
      break;
    }
    const auto bins_from = [&](double hz) { return std::abs(peak.hz - hz) / spectrum.bin_hz; };
    const bool skirt =
        std::any_of(found.begin(), found.end(),
                    [&](const Peak& stronger) {
                      return peak.amplitude <
                             skirt_of_peak(stronger.amplitude, bins_from(stronger.hz));
                    }) ||
        std::any_of(known.begin(), known.end(), [&](const Peak& line) {
          return peak.amplitude < skirt_of_known(line.amplitude, amplitude_near(spectrum, line.hz),
                                                 bins_from(line.hz));
        });
    if (skirt) continue;
    found.push_back(peak);
  }
  return found;
}

double amplitude_near(const Spectrum& spectrum, double hz) {
  const double at = std::max(hz / spectrum.bin_hz, 0.0);
  const auto left = std::min(static_cast<std::size_t>(at), spectrum.amplitude.size() - 1);
  const auto right = std::min(left + 1, spectrum.amplitude.size() - 1);
  return std::max(spectrum.amplitude[left], spectrum.amplitude[right]);
}

double floor_near(const Spectrum& spectrum, double hz) {
  const double at = std::max(std::round(hz / spectrum.bin_hz), 0.0);
  return spectrum.floor[std::min(static_cast<std::size_t>(at), spectrum.floor.size() - 1)];
}

}  // namespace lampbeat::signal::spectrum
