#pragma once

#include <optional>
#include <vector>

#include "lampbeat/tones.hpp"
#include "signal/cycle/curve_clock.hpp"
#include "signal/left_over/left_over.hpp"
#include "signal/states/epoch_figures.hpp"
#include "signal/states/same_state.hpp"
#include "signal/states/stretches.hpp"
#include "signal/tones/steadiness.hpp"

namespace lampbeat::signal::states {

/// A state of the light: the windows of the capture in which it keeps its rhythms and their depth,
/// also when another state lies between them.
class Epoch {
 public:
  Epoch(const ToneAnalysis& first, double start_s);

  /// Adds one window's fit of the same tones (the first one included).
  /// `goes_on`: no other state came between this window and the last one.
  void add(const ToneAnalysis& tones, const Stretch& window, double samples, bool goes_on);
  /// Takes over the stretches of a state that turned out to be this one, and their worst figures;
  /// tones and their phases stay this state's own.
  void absorb(const Epoch& other);
  bool joined() const { return joined_; }

  bool steady() const { return first_.series.empty(); }
  double start_s() const { return start_s_; }
  double seconds() const { return seconds_; }
  const Stretches& stretches() const { return stretches_; }
  double level() const { return windows_ > 0 ? mean_sum_ / windows_ : first_.mean; }
  int windows() const { return windows_; }
  const ToneAnalysis& first() const { return first_; }
  StateSoFar so_far() const { return {first_, windows_, level()}; }
  /// The tones over the whole epoch: amplitudes averaged, frequencies of the strongest series
  /// joined across windows, phases as at the capture's first sample.
  ToneAnalysis whole() const;
  /// The leading rhythm with the phase that its cycle is expected to begin at in this window.
  Rhythm expected(const Rhythm& rhythm, const cycle::WindowTime& window) const {
    return lead_curve_.expected(rhythm, window);
  }
  std::size_t lead_cells() const { return lead_curve_.cells(); }
  /// The leading rhythm's fold in the window that was added last; `rhythm` is `expected`.
  void add_fold(const cycle::FoldedRhythm& folded, const Rhythm& rhythm,
                const tones::RhythmChoice& choice, const cycle::WindowTime& window);
  /// Of the leading series' fundamental: by the folds where every window has one.
  std::optional<tones::LongTermFrequency> lead_frequency() const;
  EpochFigures figures;
  /// Kept from the light's second state on; before, the capture's account is this one's.
  std::optional<left_over::LeftOverAccount> left_over;

 private:
  struct Sum {
    double amplitude = 0.0;
    double variance = 0.0;
    double hz = 0.0;
  };
  ToneAnalysis first_;
  double start_s_ = 0.0;
  double seconds_ = 0.0;
  Stretches stretches_;
  bool joined_ = false;
  bool one_run_ = true;  ///< no other state has come between
  int windows_ = 0;
  double noise_sum_ = 0.0;
  double mean_sum_ = 0.0;
  double floor_sum_ = 0.0;
  std::vector<Sum> sums_;
  tones::SteadinessTracker lead_;
  cycle::CurveClock lead_curve_;
  double lead_multiple_ = 1.0;  ///< of the fundamental, the rhythm that is folded on
};

}  // namespace lampbeat::signal::states
