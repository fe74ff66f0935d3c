#pragma once

#include <array>
#include <optional>
#include <vector>

#include "lampbeat/capture.hpp"
#include "lampbeat/light.hpp"
#include "lampbeat/tones.hpp"
#include "signal/tones/steadiness.hpp"

namespace lampbeat::signal::tones {

/// How a light was sampled, as far as it matters to folding.
struct Sampling {
  double rate_hz = 0.0;
  bool even = true;  ///< samples lie on an even grid, on which |n·rate ± f| all look like f
  /// The recorder filters what is above half its rate, as sound cards do (sigma-delta converters
  /// at audio rates; common practice, no source). Converters of microcontrollers and loggers do
  /// not.
  bool filtered = false;
  /// The averaged cycle jumps between two levels, as mains light never does.
  bool two_levels = false;
  std::optional<LongTermFrequency> lead;  ///< of the strongest series, over the whole capture
  int windows = 0;
};

/// Whether a recording comes through a sound card's converter: a sound file at one of its rates.
bool filtered_by_recorder(const CaptureFormat& format);

/// Whether nine tenths of an averaged cycle lie near its top or its bottom.
bool has_two_levels(const std::vector<double>& cycle);

/// A rhythm that may as well be a faster one, folded down by the sampling.
struct AliasDoubt {
  std::size_t series = 0;  ///< in the analysis
  double seen_hz = 0.0;
  std::array<double, 3> could_be_hz{};  ///< the lowest of |n·rate ± seen|, rising
};

/// The series whose frequency the samples do not tell, strongest first. Of samples on an even grid
/// that is true of every rhythm in principle; a doubt is raised where the other reading is a likely
/// one:
/// - rhythms that run free, when the recorder has no filter and is slow (8000 a second), the rhythm
///   has fewer than twelve samples a cycle, or is slower than lamps pulse (40 Hz);
/// - a lone tone without any harmonic, where one of a hundredth would have shown: a light's own
///   rhythm is nearly always a switched one (filtered ripple of a fast driver is not);
/// - such a tone, or a light switched between two levels, in the place of mains ripple, if it
/// stands
///   on the round number or does not wander as every mains does.
/// Rhythms below half a percent of the mean move percent flicker by less than a point and raise
/// none.
std::vector<AliasDoubt> alias_doubts(const ToneAnalysis& tones, const Sampling& sampling);

/// The light as it would be if the doubted series were really at |rate ± seen|, two readings.
std::vector<LightState> alias_readings(const ToneAnalysis& tones, const AliasDoubt& doubt,
                                       double rate_hz);

/// SVM of the light when every doubted series is at the one of |n·rate ± seen| that is worst for
/// it. Most of the others are faster and weigh less; one seen below 80 Hz, where SVM does not look,
/// may be one of those it counts. (IEEE 1789 grows milder with the frequency: there the one seen,
/// the lowest of them all, is the worst.)
double worst_svm(const ToneAnalysis& tones, const std::vector<AliasDoubt>& doubts, double rate_hz);

}  // namespace lampbeat::signal::tones
