#pragma once

#include <algorithm>
#include <cmath>

#include "footage/waves/wave.hpp"

namespace lampbeat::footage::answer {

/// Beyond this relative uncertainty a figure is a guess and is withheld: at a quarter, half the
/// figure and half as much again lie within two standard uncertainties.
constexpr double too_uncertain = 0.25;

/// Less than a good part of a cycle may fit anything.
inline bool is_guess(const waves::Wave& wave) {
  constexpr double good_part = 0.5;  // bands
  return wave.strongest().sd > too_uncertain * std::abs(wave.strongest().amplitude) ||
         wave.bands_sd > too_uncertain * std::max(wave.bands, good_part);
}

}  // namespace lampbeat::footage::answer
