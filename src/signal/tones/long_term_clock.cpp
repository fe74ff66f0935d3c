#include "signal/tones/long_term_clock.hpp"

#include <algorithm>
#include <cmath>

#include "arithmetic/phase.hpp"

namespace lampbeat::signal::tones {

namespace {

/// As `smallest_phase_sd_rad`.
constexpr double smallest_hz_sd = 1e-7;
/// Three windows have one phase and two frequencies left that could disagree.
constexpr std::size_t fewest_windows_to_wander = 4;
/// Degrees of freedom that the windows' own uncertainties count for against their scatter.
constexpr double expected_counts = 2.0;
/// How far chi-squared over its freedom must stand above 1, in standard deviations, before the
/// frequency is called wandering: by chance, one capture in 1000 of four windows, in 30 000 of
/// thirty.
constexpr double chances_to_wander = 5.0;
/// Neighbouring windows of a wandering frequency are alike, so they do not average out as strangers
/// would: so many of them tell as much as one.
constexpr double windows_alike = 4.0;

}  // namespace

double LongTermClock::expected_shift_rad(double elapsed_s) const {
  const double drift_hz = last_.hz - reference_hz_;
  return last_.shift_rad + arithmetic::turn * drift_hz * (elapsed_s - last_.elapsed_s);
}

void LongTermClock::add(const ClockReading& reading) {
  const double phase_sd = std::max(reading.shift_sd_rad, smallest_phase_sd_rad);
  const double w = 1.0 / (phase_sd * phase_sd);
  const double t = reading.elapsed_s;
  shifts_.w += w;
  shifts_.t += w * t;
  shifts_.tt += w * t * t;
  shifts_.y += w * reading.shift_rad;
  shifts_.ty += w * t * reading.shift_rad;
  shifts_.yy += w * reading.shift_rad * reading.shift_rad;

  const double hz_sd = std::max(reading.hz_sd, smallest_hz_sd);
  const double offset_hz = reading.hz - reference_hz_;
  const double v = 1.0 / (hz_sd * hz_sd);
  frequencies_.w += v;
  frequencies_.y += v * offset_hz;
  frequencies_.yy += v * offset_hz * offset_hz;

  last_ = reading;
  ++windows_;
}

std::optional<LongTermFrequency> LongTermClock::result() const {
  if (windows_ == 0) return std::nullopt;
  LongTermFrequency found;
  double information = frequencies_.w;
  double weighted_hz = frequencies_.y;
  double chi_squared = frequencies_.yy - frequencies_.y * frequencies_.y / frequencies_.w;
  auto freedom = static_cast<double>(windows_ - 1);

  const double spread = shifts_.tt - shifts_.t * shifts_.t / shifts_.w;
  if (windows_ > 1 && spread > 0.0) {
    const double covariance = shifts_.ty - shifts_.t * shifts_.y / shifts_.w;
    const double slope = covariance / spread;
    const double slope_information = arithmetic::turn * arithmetic::turn * spread;
    information += slope_information;
    weighted_hz += slope_information * slope / arithmetic::turn;
    chi_squared += shifts_.yy - shifts_.y * shifts_.y / shifts_.w - slope * covariance;
    freedom += static_cast<double>(windows_ - 2);
  }
  found.fundamental_hz = reference_hz_ + weighted_hz / information;
  found.fundamental_hz_sd = 1.0 / std::sqrt(information);
  if (freedom > 0.0) {
    const double ratio = std::max(0.0, chi_squared) / freedom;
    // A few windows scatter more or less by chance alone: what is expected counts as two of them.
    const double widened = (ratio * freedom + expected_counts) / (freedom + expected_counts);
    found.fundamental_hz_sd *= std::sqrt(std::max(1.0, widened));
    const double chance = std::sqrt(2.0 / freedom);
    found.wanders =
        windows_ >= fewest_windows_to_wander && ratio > 1.0 + chances_to_wander * chance;
    const double noise = static_cast<double>(windows_) / frequencies_.w;
    const double scatter =
        frequencies_.yy / frequencies_.w - std::pow(frequencies_.y / frequencies_.w, 2) - noise;
    found.wander_hz = std::sqrt(std::max(0.0, scatter));
    if (found.wanders) {
      found.fundamental_hz_sd =
          std::max(found.fundamental_hz_sd,
                   found.wander_hz /
                       std::sqrt(std::max(1.0, static_cast<double>(windows_) / windows_alike)));
    }
  }
  return found;
}

}  // namespace lampbeat::signal::tones
