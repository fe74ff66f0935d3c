#pragma once

#include <cstdint>
#include <string>
#include <string_view>

namespace lampbeat::words {

/// One character of a text, or one byte that belongs to no well-formed UTF-8 character.
struct Character {
  std::string_view bytes;
  std::int32_t code = 0;  ///< its code point; meaningless unless `valid`
  bool valid = false;
};

/// Takes the first character off a text that is not empty.
Character take_character(std::string_view& text);

/// Columns it takes on a terminal: 0 for combining marks and controls, 2 for wide characters; a
/// stray byte is shown as one.
int columns_of(const Character& character);

/// Whether it cannot be seen but changes how the rest is read or shown: controls, direction marks,
/// line and paragraph separators; and the code points that are no characters, which HTML forbids.
bool is_hidden(const Character& character);

/// With its Latin capitals A to Z made small; everything else stays.
std::string small_letters(std::string_view text);

}  // namespace lampbeat::words
