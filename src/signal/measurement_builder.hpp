#pragma once

#include <cstdint>
#include <optional>
#include <vector>

#include "lampbeat/capture.hpp"
#include "lampbeat/measurement.hpp"
#include "lampbeat/tones.hpp"
#include "signal/clipping.hpp"
#include "signal/epoch.hpp"
#include "signal/left_over.hpp"
#include "signal/measurement_trust.hpp"
#include "signal/rhythm.hpp"
#include "signal/sensor_response.hpp"
#include "signal/window_cutter.hpp"

namespace lampbeat {

/// Turns window after window into one measurement. Holds sums and short lists, never samples.
class MeasurementBuilder {
 public:
  MeasurementBuilder(const CaptureFormat& format, const MeasurementSettings& settings);

  void add(const PlacedWindow& placed);
  const WindowFigures* latest() const { return latest_ ? &*latest_ : nullptr; }
  Measurement result(const Findings& source_findings);

 private:
  Window as_light(const PlacedWindow& placed);
  void count_raw(const Window& raw);
  ToneAnalysis tones_in(const PlacedWindow& placed, const Window& light);
  std::optional<CycleFigures> cycle_in(const Window& light, const ToneAnalysis& tones,
                                       const RhythmChoice& choice);
  void filter(const Window& light, const std::vector<Rhythm>& rhythms);
  void meter_slow_flicker(const Window& light);
  void remember(const WindowFigures& figures);

  // The result, piece by piece.
  MeasurementTrust trust_in(const ToneAnalysis& tones) const;
  void describe_capture(Measurement& m) const;
  void relate_components(Measurement& m, const ToneAnalysis& tones,
                         const MeasurementTrust& trust) const;
  void take_figures(Measurement& m, const ToneAnalysis& tones, const MeasurementTrust& trust) const;
  void judge_by_standards(Measurement& m, const MeasurementTrust& trust) const;
  signal::LeftOver left_over_in(const ToneAnalysis& tones) const;
  void judge_left_over(MeasurementTrust& trust, const ToneAnalysis& tones,
                       const signal::LeftOver& left) const;
  void take_left_over(Measurement& m, const ToneAnalysis& tones, const signal::LeftOver& left,
                      const MeasurementTrust& trust) const;
  void doubt_left_over(Measurement& m, const ToneAnalysis& tones, const signal::LeftOver& left,
                       const MeasurementTrust& trust) const;
  void doubt(Measurement& m, const ToneAnalysis& tones, const MeasurementTrust& trust) const;
  const Epoch& longest_epoch() const;
  double mean_rate_hz() const;

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
  double lowest_mean_ = 0.0;
  double highest_mean_ = 0.0;
  Clipping clipping_;
  double step_ = 0.0;       ///< quantisation step, 0 when none shows
  double code_step_ = 0.0;  ///< the same, taken from two levels alone too

  std::vector<Epoch> epochs_;  ///< the longest so far and the current one
  std::optional<double> first_change_s_;
  signal::LeftOverAccount left_over_;
  std::optional<PstMeter> pst_;
  bool pst_possible_ = true;

  TimeResolved over_time_;
  std::optional<WindowFigures> latest_;
  std::vector<double> light_;
};

}  // namespace lampbeat
