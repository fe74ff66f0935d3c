#include "words/sections.hpp"

#include <utility>

#include "words/foreign_text.hpp"
#include "words/wrapping.hpp"

namespace lampbeat::words {

namespace {

/// A message may begin with a file's name, which keeps its small letter.
bool starts_with_word(const std::string& message) {
  const std::string first = message.substr(0, message.find(' '));
  return first.find_first_of("./:_") == std::string::npos;
}

std::string with_capital(std::string message) {
  if (!message.empty() && message[0] >= 'a' && message[0] <= 'z' && starts_with_word(message)) {
    message[0] = static_cast<char>(message[0] - 'a' + 'A');
  }
  return message;
}

}  // namespace

std::string bold(const std::string& text, const TextStyle& style) {
  return style.colour ? "\033[1m" + text + "\033[0m" : text;
}

std::string sentences(const std::string& heading, const std::vector<std::string>& list,
                      const TextStyle& style) {
  if (list.empty()) return "";
  std::string result = bold(heading, style) + "\n";
  for (const std::string& sentence : list) {
    result += wrapped(for_terminal(sentence), style.width, "  - ") + "\n";
  }
  return result;
}

std::string findings(const std::string& heading, const Findings& list, const TextStyle& style) {
  std::vector<std::string> messages;
  for (const Finding& finding : list) messages.push_back(with_capital(finding.message));
  return sentences(heading, messages, style);
}

}  // namespace lampbeat::words
