#pragma once

#include <cstddef>
#include <optional>

namespace lampbeat::signal::tones {

/// Without noise the fits' uncertainties collapse to rounding errors; below this, differences
/// between windows say nothing about the light.
inline constexpr double smallest_phase_sd_rad = 1e-6;

/// The frequency of one rhythm over many windows.
struct LongTermFrequency {
  double fundamental_hz = 0.0;
  double fundamental_hz_sd = 0.0;
  bool wanders = false;    ///< it moves by more than the noise explains
  double wander_hz = 0.0;  ///< standard deviation of the windows' frequencies
};

/// What one window says of a rhythm's clock.
struct ClockReading {
  double elapsed_s = 0.0;  ///< from the first window's centre to this one's
  double shift_rad = 0.0;  ///< of the fundamental against a steady reference, unwrapped
  double shift_sd_rad = 0.0;
  double hz = 0.0;  ///< by the window alone
  double hz_sd = 0.0;
};

/// Joins what the windows say: the slope of their phases and the mean of their own frequencies are
/// independent and together use what all the samples know (the between and within parts of one
/// regression of phase on time). Memory is constant.
class LongTermClock {
 public:
  /// `reference_hz` is the frequency that shifts are told against.
  void set_reference(double reference_hz) { reference_hz_ = reference_hz; }
  double reference_hz() const { return reference_hz_; }
  std::size_t windows() const { return windows_; }
  const ClockReading& last() const { return last_; }
  /// The shift to expect at a window `elapsed_s` after the first, should the clock go on as it did.
  double expected_shift_rad(double elapsed_s) const;
  void add(const ClockReading& reading);
  /// Empty before the first window.
  std::optional<LongTermFrequency> result() const;

 private:
  struct Line {  ///< sums of a weighted straight-line fit
    double w = 0.0, t = 0.0, tt = 0.0, y = 0.0, ty = 0.0, yy = 0.0;
  };
  struct Average {  ///< sums of a weighted mean
    double w = 0.0, y = 0.0, yy = 0.0;
  };

  std::size_t windows_ = 0;
  double reference_hz_ = 0.0;
  ClockReading last_;
  Line shifts_;
  Average frequencies_;
};

}  // namespace lampbeat::signal::tones
