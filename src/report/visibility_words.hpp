#pragma once

#include <string>

#include "lampbeat/visibility.hpp"
#include "words/numbers.hpp"

namespace lampbeat::report {

/// Modulation over its threshold in two digits; beside the edge of a verdict in as many more as
/// show on which side of it. What is clean never reads "0.60".
inline std::string visibility_words(double visibility) {
  return words::in_digits_apart(visibility, 2, {clean_below, visible_from, strong_from});
}

}  // namespace lampbeat::report
