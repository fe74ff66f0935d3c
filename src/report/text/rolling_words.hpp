#pragma once

#include <fmt/format.h>

#include <cmath>
#include <string>

#include "words/numbers.hpp"

namespace lampbeat::report::text {

/// "rolling down at 2.6 picture heights a second"; down is along the readout and positive.
inline std::string rolling_words(double heights_per_s) {
  return fmt::format("rolling {} at {} picture heights a second", heights_per_s > 0 ? "down" : "up",
                     words::in_digits(std::abs(heights_per_s), 2));
}

}  // namespace lampbeat::report::text
