#pragma once

#include <optional>
#include <vector>

#include "lampbeat/tones.hpp"
#include "signal/course/course.hpp"
#include "signal/course/few_cycles.hpp"
#include "signal/course/jumps.hpp"
#include "signal/course/slow_light.hpp"
#include "signal/left_over/raw_swing.hpp"
#include "signal/left_over/residual_account.hpp"
#include "signal/left_over/rest_of_window.hpp"
#include "signal/left_over/strays.hpp"
#include "signal/spectrum/band_powers.hpp"
#include "signal/tones/rhythm.hpp"

namespace lampbeat::signal::left_over {

/// A shorter capture has no course worth looking at.
inline constexpr double least_course_s = 2.0;

/// What a capture holds beside the rhythms of its windows.
struct LeftOver {
  std::vector<Surplus> surplus;   ///< light of no rhythm by band, slowest first
  std::optional<double> from_hz;  ///< where the account begins; empty without anything to look at
  NoiseModel noise;               ///< of `bands`
  std::vector<spectrum::Band> bands;  ///< all that was looked at beside the rhythms
  std::optional<double> window_s;     ///< length of the shortest window; empty where none counted
  Extremes extremes;                  ///< of the readings themselves
  LevelRange drift;                   ///< of the whole, rhythms taken out
  std::optional<course::Jump> jump;   ///< of its level
  double slow_noise_power = 0.0;      ///< of the noise that is not white
  double seconds = 0.0;               ///< looked at
  std::optional<double> step;         ///< of the converter, as known
  Strays strays;
  std::optional<course::SlowRhythm> slow;  ///< phases as at the capture's first sample
  std::optional<course::FewCycles> few;    ///< times from the capture's first sample
};

/// Accounts for all that is left of a light when the rhythms of its windows are taken out: by band
/// from the capture's own length to half the sampling rate, windows for what is fast and the course
/// of the whole capture for what is slow. Feed every window; memory does not grow.
class LeftOverAccount {
 public:
  /// `light` starts `start_s` into the capture, `rest` is what no rhythm explains of it.
  void add(const Window& light, double start_s, const RestOfWindow& rest);
  /// A stretch that no rhythm was fitted to (the light became another, a short disturbance): it
  /// counts for the course of the whole capture only.
  void pass_over(const Window& light, double start_s);
  /// The farthest of the readings as light.
  const Extremes& extremes() const { return extremes_; }
  /// `level_kept` says that the windows kept their levels (no AC coupling), so that the course of
  /// the whole capture means something.
  LeftOver result(const NoiseKnowledge& known, bool level_kept) const;

 private:
  /// Whether the samples are enough; the first that are begin the account.
  bool takes(const Window& light, double start_s);
  void account_for_slow(LeftOver& left, std::vector<spectrum::Band>& bands, bool level_kept) const;

  spectrum::BandPowers windows_;
  std::optional<course::Course> course_;  ///< rhythms taken out
  course::Course raw_{1, 8192};
  Strays strays_;
  Extremes extremes_;
  double first_s_ = 0.0;
  double end_s_ = 0.0;
  std::optional<double> shortest_s_;  ///< window; of those that rhythms were fitted to
};

}  // namespace lampbeat::signal::left_over
