#pragma once

#include <string>
#include <string_view>

// Text from outside (file names, notes, cells of a log) made harmless where it is shown. Harmful is
// what is no UTF-8 and what cannot be seen but changes how the rest is shown: control characters,
// direction marks. One rule for each destination:
//
//   terminal, error message   byte by byte as \x1B, a tab as \t: what it was can still be read
//   page, drawing, table      one U+FFFD for each, and blanks for line breaks and tabs
//   JSON                      the JSON library escapes what it must, and puts U+FFFD for bad bytes

namespace lampbeat::words {

/// A sentence for a terminal, with whatever names it speaks of. Its line breaks stay.
std::string for_terminal(std::string_view text);

/// Columns of a name where nothing else asks for fewer.
constexpr int longest_name = 60;

/// A name for a terminal, in which a line break is foreign too; a long one is shortened in its
/// middle to `most_columns`.
std::string shown_name(std::string_view name, int most_columns = longest_name);

/// The beginning of a text for an error message, as on a terminal: at most 40 columns.
std::string excerpt(std::string_view text);

/// The same in quotes.
std::string quoted(std::string_view text);

/// A text for a page or a table.
std::string for_page(std::string_view text);

/// The same, with the five characters that mean something in HTML and XML written as entities.
std::string as_markup(std::string_view text);

}  // namespace lampbeat::words
