#include "words/foreign_text.hpp"

#include <fmt/format.h>

#include <algorithm>

#include "words/characters.hpp"
#include "words/columns.hpp"

namespace lampbeat::words {

namespace {

bool is_harmful(const Character& character) { return !character.valid || is_hidden(character); }

/// The character as a terminal may show it.
std::string visible(const Character& character) {
  if (!is_harmful(character)) return std::string(character.bytes);
  if (character.bytes == "\t") return "\\t";
  std::string shown;
  for (const char c : character.bytes) {
    shown += fmt::format("\\x{:02X}", static_cast<unsigned char>(c));
  }
  return shown;
}

}  // namespace

std::string for_terminal(std::string_view text) {
  std::string safe;
  while (!text.empty()) {
    const Character character = take_character(text);
    safe += character.bytes == "\n" ? "\n" : visible(character);
  }
  return safe;
}

std::string shown_name(std::string_view name, int most_columns) {
  std::string safe;
  while (!name.empty()) safe += visible(take_character(name));
  if (columns(safe) <= most_columns) return safe;
  const int kept = (most_columns - 1) / 2;
  return std::string(front(safe, kept)) + "…" + std::string(back(safe, kept));
}

std::string excerpt(std::string_view text) {
  constexpr int longest = 40;
  std::string shown;
  for (int taken = 0; !text.empty();) {
    if (taken >= longest) return shown + "...";
    const std::string next = visible(take_character(text));
    taken += std::max(1, columns(next));  // marks without a column of their own need an end too
    shown += next;
  }
  return shown;
}

std::string quoted(std::string_view text) { return "\"" + excerpt(text) + "\""; }

std::string for_page(std::string_view text) {
  std::string safe;
  safe.reserve(text.size());
  while (!text.empty()) {
    const Character character = take_character(text);
    if (character.valid &&
        (character.code == '\n' || character.code == '\t' || character.code == '\r')) {
      safe += ' ';
    } else if (is_harmful(character)) {
      safe += "\uFFFD";
    } else {
      safe += character.bytes;
    }
  }
  return safe;
}

std::string as_markup(std::string_view text) {
  std::string markup;
  for (const char c : for_page(text)) {
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

}  // namespace lampbeat::words
