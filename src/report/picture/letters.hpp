#pragma once

#include <cstdint>
#include <string_view>
#include <vector>

namespace lampbeat::report::picture {

/// A character of a dot-matrix display, five columns of seven dots: the lowest bit is the top one.
/// It is what a picture needs to name its marks and patterns without any font installed.
struct Letter {
  std::uint8_t columns[5];
};
inline constexpr int letter_columns = 5;
inline constexpr int letter_rows = 8;  ///< with the row for what hangs below the line

/// The letters of a text: those of ASCII, and "…".
/// Empty where it holds any other character, so that no name comes out mutilated.
std::vector<Letter> letters_of(std::string_view text);

}  // namespace lampbeat::report::picture
