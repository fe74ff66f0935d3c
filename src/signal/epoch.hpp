#pragma once

#include <optional>
#include <vector>

#include "lampbeat/tones.hpp"
#include "signal/steadiness.hpp"

namespace lampbeat {

/// A stretch of the capture in which the light keeps its rhythms.
class Epoch {
 public:
  Epoch(const ToneAnalysis& first, double start_s);

  /// Adds one window's fit of the same tones (the first one included).
  void add(const ToneAnalysis& tones, double start_s, double duration_s, double samples);
  /// Whether a fit of these tones leaves so much more than they did at first that the light has
  /// changed.
  bool explains(const ToneAnalysis& fit) const;

  double start_s() const { return start_s_; }
  double duration_s() const { return duration_s_; }
  int windows() const { return windows_; }
  const ToneAnalysis& first() const { return first_; }
  /// The tones over the whole epoch: amplitudes averaged, frequencies of the strongest series
  /// joined across windows, phases as at the capture's first sample.
  ToneAnalysis whole() const;
  std::optional<LongTermFrequency> lead_frequency() const { return lead_.result(); }

 private:
  struct Sum {
    double amplitude = 0.0;
    double variance = 0.0;
    double hz = 0.0;
  };
  ToneAnalysis first_;
  double start_s_ = 0.0;
  double duration_s_ = 0.0;
  int windows_ = 0;
  double noise_sum_ = 0.0;
  double mean_sum_ = 0.0;
  double floor_sum_ = 0.0;
  std::vector<Sum> sums_;
  SteadinessTracker lead_;
};

}  // namespace lampbeat
