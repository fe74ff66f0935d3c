#include "words/quoting.hpp"

#include <fmt/format.h>

namespace lampbeat {

std::string quoted(std::string_view text) {
  constexpr std::size_t longest = 40;
  std::string shown = "\"";
  for (const char c : text) {
    if (shown.size() > longest) return shown + "...\"";
    const auto byte = static_cast<unsigned char>(c);
    if (c == '\t') {
      shown += "\\t";
    } else if (byte < 0x20 || byte >= 0x7F) {
      shown += fmt::format("\\x{:02X}", byte);
    } else {
      shown += c;
    }
  }
  return shown + "\"";
}

}  // namespace lampbeat
