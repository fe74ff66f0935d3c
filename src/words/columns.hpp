#pragma once

#include <string>
#include <string_view>

// Text measured in the columns of a terminal.

namespace lampbeat::words {

/// Columns a text takes: none for a combining mark, two for a wide character.
int columns(std::string_view text);

/// As much of the front of a text as fits so many columns; never part of a character.
std::string_view front(std::string_view text, int most_columns);
/// The same of its end.
std::string_view back(std::string_view text, int most_columns);

/// Blanks after a text up to the width; a longer one stays as it is.
std::string padded(const std::string& text, int width);

}  // namespace lampbeat::words
