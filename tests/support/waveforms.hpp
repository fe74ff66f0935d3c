#pragma once

#include <cmath>
#include <functional>
#include <numbers>
#include <string>
#include <vector>

// Periodic waveforms whose percent flicker and flicker index follow in closed form from the
// definitions: ANSI/IES LS-1, 5.9.9.4 (flicker index: area above the mean over total area) and CIE
// e-ILV, "amplitude of fluctuation" (100 (max − min)/(max + min)).

namespace waveforms {

inline constexpr double pi = std::numbers::pi;

/// Light as a function of phase, 0 <= phase < 1, with its exact figures.
struct Waveform {
  std::string name;
  std::function<double(double)> at;
  double percent_flicker;
  double flicker_index;
};

/// 1 + m sin: flicker index m/π.
inline Waveform sine(double m) {
  return {"sine of " + std::to_string(m), [m](double p) { return 1.0 + m * std::sin(2 * pi * p); },
          100 * m, m / pi};
}

/// 1 for `duty` of the cycle, `low` for the rest.
inline Waveform rectangle(double duty, double low) {
  return {"rectangle, duty " + std::to_string(duty) + " over " + std::to_string(low),
          [=](double p) { return p < duty ? 1.0 : low; }, 100 * (1 - low) / (1 + low),
          duty * (1 - duty) * (1 - low) / (duty + (1 - duty) * low)};
}

/// p + (1 − p)|sin|, one hump a cycle.
inline Waveform rectified(double pedestal) {
  const double a = std::asin(2 / pi);
  const double bare = std::cos(a) - 1 + 2 * a / pi;
  const double swing = (1 - pedestal) * 2 / pi;
  return {"|sin| on " + std::to_string(pedestal),
          [=](double p) { return pedestal + (1 - pedestal) * std::abs(std::sin(pi * p)); },
          100 * (1 - pedestal) / (1 + pedestal), bare * swing / (pedestal + swing)};
}

/// max(0, sin).
inline Waveform half_wave() {
  const double a = std::asin(1 / pi);
  return {"half-wave sine", [](double p) { return std::max(0.0, std::sin(2 * pi * p)); }, 100,
          std::cos(a) - 0.5 + a / pi};
}

/// |sin| switched on only from `angle_deg` of each half cycle. Figures by integration.
inline Waveform phase_cut(double angle_deg, double flicker_index) {
  return {"|sin| cut at " + std::to_string(angle_deg) + " deg",
          [=](double p) { return p < angle_deg / 180 ? 0.0 : std::abs(std::sin(pi * p)); }, 100,
          flicker_index};
}

inline Waveform triangle(double m) {
  return {"triangle of " + std::to_string(m),
          [m](double p) { return 1 + m * (1 - 4 * std::abs(p - 0.5)); }, 100 * m, m / 4};
}

inline Waveform sawtooth(double m) {
  return {"sawtooth of " + std::to_string(m), [m](double p) { return 1 + m * (2 * p - 1); },
          100 * m, m / 4};
}

/// exp(−r · phase).
inline Waveform decay(double r) {
  const double mu = (1 - std::exp(-r)) / r;
  return {"decay by exp(-" + std::to_string(r) + ")", [r](double p) { return std::exp(-r * p); },
          100 * std::tanh(r / 2), (1 - mu) / (r * mu) + std::log(mu) / r};
}

inline std::vector<Waveform> all() {
  return {sine(1), sine(0.5), sine(0.2), sine(0.05), rectified(0), rectified(0.2), rectified(0.5),
          rectified(0.8), half_wave(),
          // Flicker index from 4·10^6 midpoints of the definition.
          phase_cut(45, 0.338829286), phase_cut(90, 0.551101966), phase_cut(135, 0.764848920),
          rectangle(0.5, 0), rectangle(0.25, 0), rectangle(0.1, 0), rectangle(0.01, 0),
          rectangle(0.75, 0), rectangle(0.9, 0), rectangle(0.5, 0.5), rectangle(0.25, 0.5),
          rectangle(0.1, 0.2), triangle(1), triangle(0.3), sawtooth(1), sawtooth(0.3), decay(0.1),
          decay(0.5), decay(1), decay(2), decay(3), decay(5), decay(10)};
}

/// The waveform at time t of a light of this frequency, `phase` cycles into it at t = 0.
inline double value_at(const Waveform& w, double hz, double phase, double t_s) {
  const double p = hz * t_s + phase;
  return w.at(p - std::floor(p));
}

/// Point samples of it.
inline std::vector<double> sampled(const Waveform& w, double hz, double phase, double rate_hz,
                                   double seconds) {
  std::vector<double> x(static_cast<std::size_t>(std::llround(rate_hz * seconds)));
  for (std::size_t i = 0; i < x.size(); ++i) {
    x[i] = value_at(w, hz, phase, static_cast<double>(i) / rate_hz);
  }
  return x;
}

}  // namespace waveforms
