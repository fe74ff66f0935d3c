#include "words/characters.hpp"

#include <utf8proc.h>

#include <cstddef>

// The seam to the library that knows UTF-8 and how wide characters are; the browser page has its
// own (src/page/seams).

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

}  // namespace lampbeat::words
