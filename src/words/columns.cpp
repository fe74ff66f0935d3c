#include "words/columns.hpp"

#include <algorithm>

#include "words/characters.hpp"

namespace lampbeat::words {

int columns(std::string_view text) {
  int total = 0;
  while (!text.empty()) total += columns_of(take_character(text));
  return total;
}

std::string_view front(std::string_view text, int most_columns) {
  std::string_view rest = text;
  std::size_t end = 0;
  int taken = 0;
  while (!rest.empty()) {
    taken += columns_of(take_character(rest));
    if (taken > most_columns) break;
    end = text.size() - rest.size();
  }
  return text.substr(0, end);
}

std::string_view back(std::string_view text, int most_columns) {
  int left_out = columns(text) - most_columns;
  // A mark that combines with the last character left out goes with it.
  while (!text.empty()) {
    std::string_view rest = text;
    const int here = columns_of(take_character(rest));
    if (left_out <= 0 && here > 0) break;
    left_out -= here;
    text = rest;
  }
  return text;
}

std::string padded(const std::string& text, int width) {
  return text + std::string(static_cast<std::size_t>(std::max(0, width - columns(text))), ' ');
}

}  // namespace lampbeat::words
