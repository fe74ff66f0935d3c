#include <algorithm>
#include <array>
#include <string_view>
#include <utility>

#include "lampbeat/text_style.hpp"
#include "words/characters.hpp"

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

}  // namespace

std::string in_ascii(const std::string& text) {
  std::string plain;
  plain.reserve(text.size());
  for (std::string_view rest = text; !rest.empty();) {
    const std::string_view character = words::take_character(rest).bytes;
    if (static_cast<unsigned char>(character[0]) < 0x80) {
      plain += character;
      continue;
    }
    const auto spelled = std::find_if(spellings.begin(), spellings.end(),
                                      [&](const auto& s) { return s.first == character; });
    plain += spelled == spellings.end() ? "?" : spelled->second;
  }
  return plain;
}

}  // namespace lampbeat
