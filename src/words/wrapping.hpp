#pragma once

#include <optional>
#include <string>

namespace lampbeat::words {

/// Breaks text at white space into lines of at most `width` columns; the first line starts with
/// `lead`, the others with `indent` blanks, or as many as the lead is wide. A figure and its unit
/// stay on one line. Words longer than a line (file names) are left whole.
std::string wrapped(const std::string& text, int width, const std::string& lead = "",
                    std::optional<int> indent = std::nullopt);

}  // namespace lampbeat::words
