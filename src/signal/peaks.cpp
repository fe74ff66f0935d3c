#include "signal/peaks.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "signal/blackman_harris.hpp"

namespace lampbeat::signal {
namespace {

/// Over the whole search of one window.
constexpr double search_false_alarm = 1e-3;

/// The part of a line's amplitude that its skirt may reach `bins` away.
double skirt(double bins) {
  constexpr double at_lobe = 0.05;
  if (bins < 1.5) return 1.0;
  const double lobe = 6.0;
  return bins < lobe ? at_lobe : at_lobe * std::pow(lobe / bins, 1.5);
}

}  // namespace

double threshold_over_floor(double bins, double false_alarm) {
  // Rayleigh: P(amplitude > a) = exp(−a²/2s²), mean s √(π/2).
  return std::sqrt(2.0 * std::log(std::max(bins, 1.0) / false_alarm)) /
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
    const auto is_skirt_of = [&](const Peak& other) {
      return peak.amplitude <
             other.amplitude * skirt(std::abs(peak.hz - other.hz) / spectrum.bin_hz);
    };
    if (std::any_of(known.begin(), known.end(), is_skirt_of)) continue;
    if (std::any_of(found.begin(), found.end(), is_skirt_of)) continue;
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

}  // namespace lampbeat::signal
