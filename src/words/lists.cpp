#include "words/lists.hpp"

namespace lampbeat::words {

std::string listed(const std::vector<std::string>& parts, const std::string& last) {
  std::string text;
  for (std::size_t i = 0; i < parts.size(); ++i) {
    if (i > 0) text += i + 1 == parts.size() ? " " + last + " " : ", ";
    text += parts[i];
  }
  return text;
}

}  // namespace lampbeat::words
