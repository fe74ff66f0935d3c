#include <array>
#include <string_view>
#include <utility>

#include "lampbeat/text_style.hpp"

namespace lampbeat {

namespace {

constexpr std::array<std::pair<std::string_view, std::string_view>, 33> spellings = {{
    {"±", "+/-"}, {"µ", "u"},   {"°", "deg"},    {"×", "x"},  {"·", "*"},   {"−", "-"},
    {"–", "-"},   {"—", "-"},   {"…", "..."},    {"≤", "<="}, {"≥", ">="},  {"≈", "about "},
    {"²", "2"},   {"³", "3"},   {"½", "1/2"},    {"→", "->"}, {"←", "<-"},  {"↑", "^"},
    {"↓", "v"},   {"∞", "inf"}, {"“", "\""},     {"”", "\""}, {"‘", "'"},   {"’", "'"},
    {"é", "e"},   {"φ", "phi"}, {"σ", "sigma"},  {"π", "pi"}, {"Σ", "sum"}, {"│", "|"},
    {"─", "-"},   {"•", "-"},   {"\u00A0", " "},
}};

bool continues_character(char c) { return (static_cast<unsigned char>(c) & 0xC0) == 0x80; }

}  // namespace

std::string in_ascii(const std::string& text) {
  std::string plain;
  plain.reserve(text.size());
  for (std::size_t i = 0; i < text.size();) {
    if (static_cast<unsigned char>(text[i]) < 0x80) {
      plain += text[i++];
      continue;
    }
    std::size_t end = i + 1;
    while (end < text.size() && continues_character(text[end])) ++end;
    const std::string_view character = std::string_view(text).substr(i, end - i);
    std::string_view spelling = "?";
    for (const auto& [unicode, ascii] : spellings) {
      if (unicode == character) spelling = ascii;
    }
    plain += spelling;
    i = end;
  }
  return plain;
}

}  // namespace lampbeat
