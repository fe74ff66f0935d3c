#pragma once

#include <string>
#include <string_view>

namespace lampbeat {

/// Text from outside (file names, notes) made harmless to show: invalid UTF-8, control characters
/// and invisible direction marks become U+FFFD, line breaks and tabs become blanks.
std::string safe_text(std::string_view text);

/// The same, with the five characters that mean something in HTML and XML written as entities.
std::string escaped(std::string_view text);

}  // namespace lampbeat
