#include <array>
#include <cstddef>
#include <cwchar>

#include "words/characters.hpp"

// UTF-8 (RFC 3629) and the C library's widths instead of utf8proc's.

namespace lampbeat::words {
namespace {

/// Of the character's bytes by the first one; 0 for one that begins none.
std::size_t length_by(unsigned char first) {
  if (first < 0x80) return 1;
  if (first >= 0xC2 && first < 0xE0) return 2;
  if (first >= 0xE0 && first < 0xF0) return 3;
  if (first >= 0xF0 && first < 0xF5) return 4;
  return 0;
}

/// Its code point; -1 where the bytes are no well-formed character.
std::int32_t code_of(std::string_view bytes) {
  static constexpr std::array<std::int32_t, 5> first_bits = {0, 0x7F, 0x1F, 0x0F, 0x07};
  static constexpr std::array<std::int32_t, 5> least = {0, 0, 0x80, 0x800, 0x10000};
  std::int32_t code = static_cast<unsigned char>(bytes[0]) & first_bits[bytes.size()];
  for (const char byte : bytes.substr(1)) {
    if ((static_cast<unsigned char>(byte) & 0xC0) != 0x80) return -1;
    code = code << 6 | (byte & 0x3F);
  }
  const bool surrogate = code >= 0xD800 && code <= 0xDFFF;
  return code < least[bytes.size()] || code > 0x10FFFF || surrogate ? -1 : code;
}

}  // namespace

Character take_character(std::string_view& text) {
  Character taken;
  const std::size_t length = length_by(static_cast<unsigned char>(text.front()));
  if (length > 0 && length <= text.size()) {
    taken.code = code_of(text.substr(0, length));
    taken.valid = taken.code >= 0;
  }
  taken.bytes = text.substr(0, taken.valid ? length : 1);
  text.remove_prefix(taken.bytes.size());
  return taken;
}

int columns_of(const Character& character) {
  if (!character.valid) return 1;
  const int columns = ::wcwidth(static_cast<wchar_t>(character.code));
  return columns < 0 ? 0 : columns;
}

}  // namespace lampbeat::words
