#pragma once

#include <cstddef>
#include <string_view>

namespace lampbeat::words {

/// Two letters wrong is a slip; three are another word.
constexpr std::size_t most_slips = 2;

/// Levenshtein's distance: how many letters were mistyped, left out or put in.
std::size_t edits_between(std::string_view one, std::string_view other);

}  // namespace lampbeat::words
