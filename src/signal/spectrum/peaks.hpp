#pragma once

#include <span>
#include <vector>

#include "lampbeat/spectrum.hpp"

namespace lampbeat::signal::spectrum {

/// A line seen in a spectrum, read off between its bins.
struct Peak {
  double hz = 0.0;
  double amplitude = 0.0;
};

/// How strong a line must be to count.
struct PeakRules {
  double lowest_hz = 0.0;
  double highest_hz = 0.0;
  double least_amplitude = 0.0;     ///< absolute, whatever the noise
  double least_of_strongest = 0.0;  ///< fraction of the strongest peak of this spectrum
};

/// Over the whole search of one window, noise alone makes a line this often.
inline constexpr double search_false_alarm = 1e-3;

/// Amplitude over the local floor (its mean level) at which noise alone reaches past it anywhere in
/// `bins` bins with probability `false_alarm`: noise amplitudes follow a Rayleigh distribution.
double threshold_over_floor(double bins, double false_alarm);

/// Lines that stand above the floor and above their own neighbourhood, strongest first. Frequency
/// and height between bins by the parabola through the logarithms of three bins, which suits this
/// nearly Gaussian main lobe to about a hundredth of a bin. Near a stronger peak, or near a line in
/// `known` that was taken out of this spectrum, only what is too strong to be its skirt counts: a
/// rhythm that wanders within the window spreads its line, and leaves something where it stood.
std::vector<Peak> find_peaks(const Spectrum& spectrum, const PeakRules& rules,
                             std::span<const Peak> known);

/// The larger of the two bins beside `hz`.
double amplitude_near(const Spectrum& spectrum, double hz);
/// The floor at the bin nearest to `hz`.
double floor_near(const Spectrum& spectrum, double hz);

}  // namespace lampbeat::signal::spectrum
