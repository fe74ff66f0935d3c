#pragma once

#include <algorithm>
#include <complex>
#include <optional>
#include <span>
#include <string>
#include <vector>

#include "lampbeat/prediction.hpp"
#include "reasoning/judge/swing.hpp"
#include "reasoning/mixture/series.hpp"

// What the lights of a room can do while somebody films: the rhythms of one choice of their states,
// and the clocks that let these rhythms drift.

namespace lampbeat::reasoning::judge {

/// How far one clock may be off, relative to its frequency: low <= 0 <= high. The first clock of a
/// scene is the mains; every rhythm that runs free has a clock of its own.
struct Clock {
  double low = 0.0;
  double high = 0.0;
};

/// A rhythm that moves with a clock: its fundamental runs at
///     own_hz · (1 + offset of its clock) + side_hz · (1 + offset of the mains).
struct MovingSeries {
  double own_hz = 0.0;
  double side_hz = 0.0;  ///< of a sideband: a multiple of the mains beside a free-running line
  std::size_t clock = 0;
  std::vector<mixture::Harmonic> harmonics;
  std::vector<double> strengths;  ///< of the harmonics: their amplitudes without phase
  bool unexplained = false;       ///< stands for light no rhythm explains, anywhere in its band
  SwingTable swing;
  bool any_waveform = false;  ///< as of `mixture::Series`
};

struct Scene {
  std::string state;  ///< for people: which lights are not in their own state; empty: all are
  std::optional<double> mains_hz;
  std::vector<Clock> clocks;  ///< never empty
  std::vector<MovingSeries> rhythms;
  /// Of lights as they would be if an assumption about their recordings failed.
  bool worst_case_only = false;

  bool any_waveform() const {
    return std::any_of(rhythms.begin(), rhythms.end(),
                       [](const MovingSeries& r) { return r.any_waveform; });
  }
};

/// Fills in what follows from the harmonics: their strengths and the swing.
void learn_swing(MovingSeries& rhythm);

/// With every clock at its offset (one for each clock).
double fundamental_hz(const MovingSeries& rhythm, std::span<const double> offsets);

/// How far clocks may be off.
struct Tolerances {
  std::optional<double> mains_hz;  ///< empty: default_mains_tolerance_hz
  /// Percent of a free-running clock's frequency; empty: each light's own, clock_tolerance_percent.
  std::optional<double> clock_percent;
};

/// The scene of lights on one mains, as they are. `lights` have shares that sum to 1.
Scene scene_of(std::span<const LightShare> lights, std::optional<double> mains_hz,
               const Tolerances& tolerances);

/// Every scene the lights can make: each light in each of its states (and, where its rhythm is so
/// near to twice the mains that a poor clock may have made it look free, also locked to the mains).
/// The first is that of the lights as they are. More than 32 combinations are not tried together:
/// then each light's other states are held against the others' own.
std::vector<Scene> scenes_of(std::span<const LightShare> lights, std::optional<double> mains_hz,
                             const Tolerances& tolerances);

}  // namespace lampbeat::reasoning::judge
