#pragma once

#include <optional>

#include "lampbeat/cycle.hpp"
#include "lampbeat/tones.hpp"
#include "signal/course/course.hpp"

namespace lampbeat::signal::course {

/// A light that was switched between two levels so few times in a whole capture (at most nine each
/// way) that no spectrum can tell its rhythm; its edges can.
struct FewCycles {
  double high = 0.0;  ///< sample units
  double low = 0.0;
  double level_sd = 0.0;        ///< of either, from the noise
  double first_middle_s = 0.0;  ///< middle of the first whole stretch at the high level
  double on_share = 0.0;        ///< of the cycle at the high level
  int rises = 0;
  int falls = 0;
  /// Present where at least two intervals between like edges agree.
  std::optional<double> hz;
  double hz_sd = 0.0;
};

/// Empty where the light does not keep to two levels, or switches more often. A course without
/// noise counts too.
std::optional<FewCycles> few_cycles(const Course::Part& course);

/// The Fourier series of such a light, and its figures. Needs `hz`.
ToneAnalysis tones_of(const FewCycles& switched);
CycleFigures figures_of(const FewCycles& switched);

}  // namespace lampbeat::signal::course
