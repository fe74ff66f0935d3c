#pragma once

#include <string>

namespace lampbeat {

/// How text for a terminal may look.
struct TextStyle {
  int width = 100;  ///< columns
  bool colour = false;
  bool unicode = true;
};

/// A text for a terminal without Unicode: "±" becomes "+/-", "µs" "us", "°" "deg" and so on;
/// anything unknown becomes "?".
std::string in_ascii(const std::string& text);

}  // namespace lampbeat
