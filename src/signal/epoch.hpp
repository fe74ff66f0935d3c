#pragma once

#include <array>
#include <optional>
#include <vector>

#include "lampbeat/cycle.hpp"
#include "lampbeat/spectrum.hpp"
#include "lampbeat/standards.hpp"
#include "lampbeat/tones.hpp"
#include "signal/steadiness.hpp"

namespace lampbeat {

/// What the windows of one epoch say beyond their tones.
struct EpochFigures {
  std::optional<CycleFigures> typical_cycle;
  double cycle_hz = 0.0;
  Spectrum spectrum;
  int unrelated_rhythms = 0;
  double left_out_percent = 0.0;
  double percent_flicker_variance = 0.0;
  double flicker_index_variance = 0.0;
  int windows_with_cycle = 0;
  /// Worst window's, each judged by its own level.
  std::array<double, ja10_cut_offs_hz.size()> lowpass_percent{};
  std::array<bool, ja10_cut_offs_hz.size()> filtered = {true, true, true, true, true};
  /// In an epoch taken for steady: the strongest tone any of its windows showed, sample units.
  double strongest_doubtful = 0.0;
};

/// A stretch of the capture in which the light keeps its rhythms.
class Epoch {
 public:
  Epoch(const ToneAnalysis& first, double start_s);

  /// Adds one window's fit of the same tones (the first one included).
  void add(const ToneAnalysis& tones, double start_s, double duration_s, double samples);
  /// Whether a fit of these tones says that the light has stayed as it was: it leaves no more than
  /// they did at first, and they are as strong relative to the level.
  bool explains(const ToneAnalysis& fit) const;
  bool steady() const { return first_.series.empty(); }
  /// Whether tones found in a window of a steady epoch are so near its detection floor that they
  /// are no change of the light.
  bool stays_steady(const ToneAnalysis& found) const;
  bool covers(double time_s) const;

  double start_s() const { return start_s_; }
  double duration_s() const { return duration_s_; }
  int windows() const { return windows_; }
  const ToneAnalysis& first() const { return first_; }
  /// The tones over the whole epoch: amplitudes averaged, frequencies of the strongest series
  /// joined across windows, phases as at the capture's first sample.
  ToneAnalysis whole() const;
  std::optional<LongTermFrequency> lead_frequency() const { return lead_.result(); }
  EpochFigures figures;

 private:
  bool as_strong(const ToneAnalysis& fit) const;

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
