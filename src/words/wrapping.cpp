#include "words/wrapping.hpp"

#include <algorithm>
#include <array>
#include <cctype>
#include <string_view>

#include "words/columns.hpp"

namespace lampbeat::words {

namespace {

constexpr std::string_view white = " \t\n";

/// Where the word that starts at `i` ends. A figure and its unit are one word.
std::size_t end_of_word(std::string_view text, std::size_t i) {
  constexpr std::array<std::string_view, 5> units = {" %", " Hz", " ms", " fps", " cd/m²"};
  const std::size_t end = std::min(text.find_first_of(white, i), text.size());
  const bool figure = std::isdigit(static_cast<unsigned char>(text[end - 1])) != 0;
  const bool has_unit = std::any_of(units.begin(), units.end(), [&](std::string_view unit) {
    return text.substr(end, unit.size()) == unit;
  });
  return figure && has_unit ? std::min(text.find_first_of(white, end + 1), text.size()) : end;
}

}  // namespace

std::string wrapped(const std::string& text, int width, const std::string& lead,
                    std::optional<int> indent) {
  const int later = indent.value_or(columns(lead));
  std::string result = lead;
  int column = columns(lead);
  bool line_start = true;
  for (std::size_t i = text.find_first_not_of(white); i != std::string::npos;) {
    const std::size_t end = end_of_word(text, i);
    const std::string word = text.substr(i, end - i);
    if (!line_start && column + 1 + columns(word) > width) {
      result += "\n" + std::string(static_cast<std::size_t>(later), ' ');
      column = later;
      line_start = true;
    }
    if (!line_start) {
      result += ' ';
      ++column;
    }
    result += word;
    column += columns(word);
    line_start = false;
    i = text.find_first_not_of(white, end);
  }
  return result;
}

}  // namespace lampbeat::words
