#pragma once

#include <cstddef>
#include <optional>
#include <vector>

#include "lampbeat/tones.hpp"
#include "signal/tones/long_term_clock.hpp"

namespace lampbeat::signal::tones {

/// Joins the phases of one harmonic series from window to window. The time between two windows
/// multiplies the precision of a frequency: a straight line through the phases uses all of the
/// capture, while each window by itself only knows its own second. Memory is constant.
///
/// A window's phase is that of the whole series: the shift of the fundamental that best explains
/// all its tones, each weighted by its information (order · amplitude)², less where unseen
/// multiples fold onto it.
class SteadinessTracker {
 public:
  /// Adds the series as fitted in a window of `samples` samples that starts `start_s` into the
  /// capture. A series with another number of tones than the first is left out.
  void add(const ToneSeries& series, double start_s, double duration_s, double noise_sd,
           double samples);
  /// Empty before the first window.
  std::optional<LongTermFrequency> result() const;
  std::size_t windows() const { return clock_.windows(); }

 private:
  double shift_of(const ToneSeries& series, const std::vector<double>& information,
                  double elapsed_s, double duration_s) const;

  double origin_s_ = 0.0;                ///< centre of the first window
  std::vector<double> reference_phase_;  ///< of each tone there
  double folded_rad_ = 0.0;  ///< by how much unseen multiples may turn it, see EdgeFolds
  LongTermClock clock_;
};

}  // namespace lampbeat::signal::tones
