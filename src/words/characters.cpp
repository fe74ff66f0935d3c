#include "words/characters.hpp"

#include <utf8proc.h>

#include <cstddef>

namespace lampbeat::words {

Character take_character(std::string_view& text) {
  Character taken;
  const auto* bytes = reinterpret_cast<const utf8proc_uint8_t*>(text.data());
  const auto size = static_cast<utf8proc_ssize_t>(text.size());
  const utf8proc_ssize_t length = utf8proc_iterate(bytes, size, &taken.code);
  taken.valid = length > 0;
  taken.bytes = text.substr(0, taken.valid ? static_cast<std::size_t>(length) : 1);
  text.remove_prefix(taken.bytes.size());
  return taken;
}

int columns_of(const Character& character) {
  return character.valid ? utf8proc_charwidth(character.code) : 1;
}

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
