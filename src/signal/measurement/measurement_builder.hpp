#pragma once

#include <cstdint>
#include <optional>
#include <vector>

#include "lampbeat/capture.hpp"
#include "lampbeat/measurement.hpp"
#include "lampbeat/tones.hpp"
#include "signal/cycle/each_rhythm.hpp"
#include "signal/left_over/left_over.hpp"
#include "signal/measurement/measurement_trust.hpp"
#include "signal/states/epoch.hpp"
#include "signal/states/state_figures.hpp"
#include "signal/tones/clock_spread.hpp"
#include "signal/tones/rhythm.hpp"
#include "signal/tones/sensor_response.hpp"
#include "signal/windows/clipping.hpp"
#include "signal/windows/window_cutter.hpp"

namespace lampbeat {

/// Stretches too short to be a state of the light and unlike what lies around them.
struct Disturbances {
  int count = 0;
  double seconds = 0.0;
  Stretch longest;
  double lowest = 0.0;  ///< in the longest, sample units
  double highest = 0.0;
};

/// For plots: relative to its mean, which is above 0.
MeasuredCycle measured_cycle(const CycleFigures& cycle, double hz);

/// Turns window after window into one measurement. Holds sums and short lists, never samples.
class MeasurementBuilder {
 public:
  MeasurementBuilder(const CaptureFormat& format, const MeasurementSettings& settings);

  void add(const PlacedWindow& placed);
  const WindowFigures* latest() const { return latest_ ? &*latest_ : nullptr; }
  Measurement result(const Findings& source_findings);

 private:
  Window as_light(const PlacedWindow& placed);
  void count_raw(const PlacedWindow& placed);
  ToneAnalysis tones_in(const PlacedWindow& placed, const Window& light);
  std::optional<CycleFigures> cycle_in(const Window& light, const ToneAnalysis& tones,
                                       const RhythmChoice& choice);
  void remember_each(const std::vector<signal::RhythmAlone>& rhythms);
  void leave_out(const PlacedWindow& placed, const Window& light);
  /// The window's tones when it shows a state with rhythms that was seen before; joins it.
  std::optional<ToneAnalysis> known_state(const PlacedWindow& placed, const Window& light);
  /// The same when only its fit leaves more than before, its rhythms being as strong as they were.
  std::optional<ToneAnalysis> same_rhythms(const ToneAnalysis& found, const PlacedWindow& placed,
                                           const Window& light);
  void join(std::size_t state, const ToneAnalysis& tones, const PlacedWindow& placed,
            const Window& light);
  std::size_t new_state(const ToneAnalysis& found, double start_s);
  void forget_a_state();
  void filter(const Window& light, const std::vector<Rhythm>& rhythms);
  void meter_slow_flicker(const Window& light);
  void remember(const WindowFigures& figures);

  // The result, piece by piece.
  void refuse_useless() const;
  std::vector<JudgedState> judged_states() const;
  /// Makes one state of those that say the same and of those a beat goes through.
  void join_states_alike(const std::vector<JudgedState>& states);
  /// Figures and doubts of one state; all of a capture that saw the light in one.
  JudgedState judged(const Epoch& epoch, const signal::LeftOverAccount& account) const;
  /// The state that carries a rhythm so slow that its swings look like states; empty without one.
  std::optional<JudgedState> slowly_beating() const;
  MeasurementTrust trust_in(const Epoch& epoch, const ToneAnalysis& tones) const;
  std::vector<AliasDoubt> folding_doubts(const JudgedState& state) const;
  void describe_capture(Measurement& m) const;
  void relate_components(Measurement& m, const ToneAnalysis& tones,
                         const MeasurementTrust& trust) const;
  void take_figures(Measurement& m, const JudgedState& state) const;
  std::optional<Ieee1789> worst_rhythm(const Measurement& m, const JudgedState& state) const;
  void judge_by_standards(Measurement& m, const JudgedState& state) const;
  signal::LeftOver left_over_in(const signal::LeftOverAccount& account, double level) const;
  void judge_left_over(JudgedState& state) const;
  signal::Excess beyond_what_was_found(const JudgedState& state) const;
  void take_left_over(Measurement& m, const JudgedState& state) const;
  void doubt_left_over(Measurement& m, const JudgedState& state) const;
  void doubt(Measurement& m, const JudgedState& state) const;
  void doubt_clock(Measurement& m, const JudgedState& state) const;
  void doubt_changes(Measurement& m, const std::vector<JudgedState>& states) const;
  TimeResolved over_time(const std::vector<JudgedState>& states) const;
  double mean_rate_hz() const;
  /// All of the capture's where the light had one state.
  double samples_of(const Epoch& epoch) const;

  CaptureFormat format_;
  MeasurementSettings settings_;
  SensorResponse response_;

  std::uint64_t samples_ = 0;
  double end_s_ = 0.0;
  double interval_sum_s_ = 0.0;
  bool all_even_ = true;
  bool on_grid_ = true;  ///< every sample a whole number of intervals after the one before
  double jitter_percent_ = 0.0;
  double sum_ = 0.0;
  double lowest_ = 0.0;
  double highest_ = 0.0;
  Clipping clipping_;
  double step_ = 0.0;       ///< quantisation step, 0 when none shows
  double code_step_ = 0.0;  ///< the same, taken from two levels alone too

  std::vector<Epoch> epochs_;  ///< the light's states, in the order seen
  std::size_t current_ = 0;    ///< the state of the latest window
  int forgotten_states_ = 0;
  Disturbances disturbances_;
  signal::LeftOverAccount left_over_;  ///< of the whole capture
  signal::ClockSpread clock_;          ///< of it too
  std::optional<PstMeter> pst_;
  bool pst_possible_ = true;

  std::vector<WindowFigures> windows_;
  std::optional<WindowFigures> latest_;
  std::vector<double> light_;
};

}  // namespace lampbeat
