#pragma once

#include <string>
#include <string_view>

namespace lampbeat {

/// Text from a file, fit for an error message: in quotes, at most about 40 characters, control
/// and non-ASCII bytes written as \x1B, so that no log can play tricks on a terminal.
std::string quoted(std::string_view text);

}  // namespace lampbeat
