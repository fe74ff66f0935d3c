#pragma once

#include <array>
#include <optional>
#include <vector>

#include "lampbeat/cycle.hpp"
#include "lampbeat/spectrum.hpp"
#include "lampbeat/standards.hpp"
#include "lampbeat/tones.hpp"
#include "signal/course/steadiness.hpp"
#include "signal/left_over/left_over.hpp"

namespace lampbeat {

/// A time of the capture, in seconds from its first sample.
struct Stretch {
  double from_s = 0.0;
  double to_s = 0.0;
  double seconds() const { return to_s - from_s; }
};

/// A figure of every window. Long lists join neighbours, so that an hour fits where ten minutes
/// did.
class WindowValues {
 public:
  void add(double value);
  void add(const WindowValues& others);
  bool empty() const { return values_.empty(); }
  double median() const;
  double highest() const { return highest_; }

 private:
  std::vector<double> values_;
  double highest_ = 0.0;
};

/// One rhythm of several, folded alone.
struct RhythmFigures {
  double hz = 0.0;
  WindowValues percents;  ///< its own percent flicker
  double variance = 0.0;  ///< of them, summed over the windows
  int windows = 0;
};

/// JA10's figure below one cut-off.
struct LowPassFigure {
  double percent = 0.0;         ///< of the worst window, each judged by its own level
  bool in_every_window = true;  ///< so far; one window that has none leaves the light without
};

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
  std::optional<double> lowest_mean;  ///< of a window
  std::optional<double> highest_mean;
  WindowValues percents;
  WindowValues indices;
  double worst_percent_start_s = 0.0;  ///< where the window of the highest percent flicker begins
  std::vector<RhythmFigures> rhythms;  ///< where there are several
  PerCutOff<LowPassFigure> lowpass;
  /// In an epoch taken for steady: the strongest tone any of its windows showed, sample units.
  double strongest_doubtful = 0.0;
};

/// A state of the light: the windows of the capture in which it keeps its rhythms and their depth,
/// also when another state lies between them.
class Epoch {
 public:
  Epoch(const ToneAnalysis& first, double start_s);

  /// Adds one window's fit of the same tones (the first one included).
  /// `goes_on`: no other state came between this window and the last one.
  void add(const ToneAnalysis& tones, const Stretch& window, double samples, bool goes_on);
  /// Whether a fit of these tones says that the light has stayed as it was: it leaves no more than
  /// they did at first, and they are as strong relative to the level.
  bool explains(const ToneAnalysis& fit) const;
  bool steady() const { return first_.series.empty(); }
  /// Whether tones found in a window of a steady epoch are so near its detection floor that they
  /// are no change of the light.
  bool stays_steady(const ToneAnalysis& found) const;
  /// Whether a level belongs to this state's kind: a lamp that is off is not the lamp on.
  bool as_bright(const ToneAnalysis& tones) const;
  bool covers(double time_s) const;
  /// Takes over the stretches of a state that turned out to be this one, and their worst figures;
  /// tones and their phases stay this state's own.
  void absorb(const Epoch& other);
  bool joined() const { return joined_; }

  double start_s() const { return start_s_; }
  double seconds() const { return seconds_; }
  /// When it was seen; the list is short, whatever comes late joins its last entry.
  const std::vector<Stretch>& stretches() const { return stretches_; }
  const Stretch& longest_stretch() const;
  double level() const { return windows_ > 0 ? mean_sum_ / windows_ : first_.mean; }
  int windows() const { return windows_; }
  const ToneAnalysis& first() const { return first_; }
  /// The tones over the whole epoch: amplitudes averaged, frequencies of the strongest series
  /// joined across windows, phases as at the capture's first sample.
  ToneAnalysis whole() const;
  std::optional<LongTermFrequency> lead_frequency() const { return lead_.result(); }
  EpochFigures figures;
  /// Kept from the light's second state on; before, the capture's account is this one's.
  std::optional<signal::LeftOverAccount> left_over;

 private:
  bool as_strong(const ToneAnalysis& fit) const;

  struct Sum {
    double amplitude = 0.0;
    double variance = 0.0;
    double hz = 0.0;
  };
  ToneAnalysis first_;
  double start_s_ = 0.0;
  double seconds_ = 0.0;
  std::vector<Stretch> stretches_;
  bool joined_ = false;
  bool one_run_ = true;  ///< no other state has come between
  int windows_ = 0;
  double noise_sum_ = 0.0;
  double mean_sum_ = 0.0;
  double floor_sum_ = 0.0;
  std::vector<Sum> sums_;
  SteadinessTracker lead_;
};

}  // namespace lampbeat
