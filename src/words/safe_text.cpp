#include "words/safe_text.hpp"

#include <cstddef>
#include <cstdint>

namespace lampbeat {

namespace {

constexpr std::string_view replacement = "\xEF\xBF\xBD";

/// Length of the well-formed UTF-8 character at the front (Unicode, table 3-7); 0 when there is
/// none. `code` receives the character.
std::size_t character(std::string_view text, std::uint32_t& code) {
  const auto byte = [&](std::size_t i) {
    return i < text.size() ? static_cast<unsigned char>(text[i]) : 0U;
  };
  const auto follows = [&](std::size_t i) { return (byte(i) & 0xC0U) == 0x80U; };
  const std::uint32_t first = byte(0);
  if (first < 0x80) {
    code = first;
    return 1;
  }
  if (first >= 0xC2 && first <= 0xDF && follows(1)) {
    code = ((first & 0x1FU) << 6) | (byte(1) & 0x3FU);
    return 2;
  }
  if (first >= 0xE0 && first <= 0xEF && follows(1) && follows(2)) {
    code = ((first & 0x0FU) << 12) | ((byte(1) & 0x3FU) << 6) | (byte(2) & 0x3FU);
    const bool surrogate = code >= 0xD800 && code <= 0xDFFF;
    return code >= 0x800 && !surrogate ? 3 : 0;
  }
  if (first >= 0xF0 && first <= 0xF4 && follows(1) && follows(2) && follows(3)) {
    code = ((first & 0x07U) << 18) | ((byte(1) & 0x3FU) << 12) | ((byte(2) & 0x3FU) << 6) |
           (byte(3) & 0x3FU);
    return code >= 0x10000 && code <= 0x10FFFF ? 4 : 0;
  }
  return 0;
}

/// Characters that cannot be seen but change how the rest is read or shown, and those that HTML
/// forbids (U+FFFE, U+FFFF at the end of each plane).
bool hidden(std::uint32_t code) {
  const bool control = code < 0x20 || (code >= 0x7F && code <= 0x9F);
  const bool direction = (code >= 0x202A && code <= 0x202E) || (code >= 0x2066 && code <= 0x2069) ||
                         code == 0x200E || code == 0x200F || code == 0x061C;
  const bool line_break = code == 0x2028 || code == 0x2029;
  const bool no_character = (code & 0xFFFEU) == 0xFFFE || (code >= 0xFDD0 && code <= 0xFDEF);
  return control || direction || line_break || no_character;
}

}  // namespace

std::string safe_text(std::string_view text) {
  std::string safe;
  safe.reserve(text.size());
  while (!text.empty()) {
    std::uint32_t code = 0;
    const std::size_t length = character(text, code);
    if (length == 1 && (code == '\n' || code == '\t' || code == '\r')) {
      safe += ' ';
    } else if (length == 0 || hidden(code)) {
      safe += replacement;
    } else {
      safe += text.substr(0, length);
    }
    text.remove_prefix(length == 0 ? 1 : length);
  }
  return safe;
}

std::string escaped(std::string_view text) {
  std::string markup;
  for (const char c : safe_text(text)) {
    switch (c) {
      case '&':
        markup += "&amp;";
        break;
      case '<':
        markup += "&lt;";
        break;
      case '>':
        markup += "&gt;";
        break;
      case '"':
        markup += "&quot;";
        break;
      case '\'':
        markup += "&#39;";
        break;
      default:
        markup += c;
    }
  }
  return markup;
}

}  // namespace lampbeat
