#pragma once

#include <array>
#include <vector>

#include "signal/cycle/rhythm_part.hpp"

namespace lampbeat::signal::cycle {

/// A light as the two parts of two rhythms and their product, m + a(x) + b(y) + k·a(x)·b(y).
struct TwoParts {
  std::vector<double> value;  ///< the samples
  std::array<RhythmPart, 2> part;
  double mean = 0.0;  ///< m
  /// k: 0 of a sum, at most one over the deepest part, which then leaves nothing of the other.
  double product = 0.0;

  /// What the model leaves of a sample.
  double rest(std::size_t sample) const {
    const double a = part[0].at(sample);
    const double b = part[1].at(sample);
    return value[sample] - mean - a - b - product * a * b;
  }
  /// How the light follows one part, given the other rhythm's phase.
  double slope(std::size_t which, std::size_t sample) const {
    return 1.0 + product * part[1 - which].at(sample);
  }
};

/// Fits both parts and their product, starting from those given.
TwoParts fit_two_parts(std::vector<double> value, RhythmPart one, RhythmPart other);

}  // namespace lampbeat::signal::cycle
