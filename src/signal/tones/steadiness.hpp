#pragma once

#include <cstddef>
#include <optional>
#include <vector>

#include "lampbeat/tones.hpp"

namespace lampbeat::signal::tones {

/// The frequency of one series over many windows.
struct LongTermFrequency {
  double fundamental_hz = 0.0;
  double fundamental_hz_sd = 0.0;
  bool wanders = false;    ///< it moves by more than the noise explains
  double wander_hz = 0.0;  ///< standard deviation of the windows' frequencies
};

/// Joins the phases of one harmonic series from window to window. The time between two windows
/// multiplies the precision of a frequency: a straight line through the phases uses all of the
/// capture, while each window by itself only knows its own second. Memory is constant.
///
/// A window's phase is that of the whole series: the shift of the fundamental that best explains
/// all its tones, each weighted by its information (order · amplitude)², less where unseen
/// multiples fold onto it. The slope of the phases and the mean of the windows' own frequencies are
/// independent and together use what all the samples know (the between and within parts of one
/// regression of phase on time).
class SteadinessTracker {
 public:
  /// Adds the series as fitted in a window of `samples` samples that starts `start_s` into the
  /// capture. A series with another number of tones than the first is left out.
  void add(const ToneSeries& series, double start_s, double duration_s, double noise_sd,
           double samples);
  /// Empty before the first window.
  std::optional<LongTermFrequency> result() const;

 private:
  double shift_of(const ToneSeries& series, const std::vector<double>& information,
                  double elapsed_s, double duration_s) const;

  struct Line {  ///< sums of a weighted straight-line fit
    double w = 0.0, t = 0.0, tt = 0.0, y = 0.0, ty = 0.0, yy = 0.0;
  };
  struct Average {  ///< sums of a weighted mean
    double w = 0.0, y = 0.0, yy = 0.0;
  };

  std::size_t windows_ = 0;
  double origin_s_ = 0.0;                ///< centre of the first window
  double reference_hz_ = 0.0;            ///< fundamental there
  std::vector<double> reference_phase_;  ///< of each tone there
  double last_elapsed_s_ = 0.0;
  double last_shift_ = 0.0;  ///< of the fundamental against a steady reference, rad, unwrapped
  double last_hz_ = 0.0;
  double folded_rad_ = 0.0;  ///< by how much unseen multiples may turn it, see EdgeFolds
  Line shifts_;
  Average frequencies_;
};

}  // namespace lampbeat::signal::tones
