#include "words/characters.hpp"

namespace lampbeat::words {

bool is_hidden(const Character& character) {
  const std::int32_t code = character.code;
  const bool control = code < 0x20 || (code >= 0x7F && code <= 0x9F);
  const bool direction = (code >= 0x202A && code <= 0x202E) || (code >= 0x2066 && code <= 0x2069) ||
                         code == 0x200E || code == 0x200F || code == 0x061C;
  const bool line_break = code == 0x2028 || code == 0x2029;
  const bool no_character = (code & 0xFFFE) == 0xFFFE || (code >= 0xFDD0 && code <= 0xFDEF);
  return control || direction || line_break || no_character;
}

std::string small_letters(std::string_view text) {
  std::string small(text);
  for (char& c : small) {
    if (c >= 'A' && c <= 'Z') c = static_cast<char>(c - 'A' + 'a');
  }
  return small;
}

}  // namespace lampbeat::words
