#pragma once

#include <algorithm>
#include <array>
#include <string_view>

namespace lampbeat::reasoning::shutters {

/// The shutters people set without thinking (common practice, no source).
inline constexpr std::array<std::string_view, 6> habits = {"1/48",  "1/50",  "1/60",
                                                           "1/100", "1/120", "1/125"};

inline bool set_by_habit(std::string_view label) {
  return std::find(habits.begin(), habits.end(), label) != habits.end();
}

}  // namespace lampbeat::reasoning::shutters
