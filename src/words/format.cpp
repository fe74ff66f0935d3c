#include "words/format.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cctype>
#include <cmath>
#include <string_view>

namespace lampbeat::text {

namespace {

bool continues_character(char c) { return (static_cast<unsigned char>(c) & 0xC0) == 0x80; }

/// Where the word that starts at `i` ends. A figure and its unit stay on one line.
std::size_t end_of_word(const std::string& text, std::size_t i) {
  std::size_t end = std::min(text.find(' ', i), text.size());
  for (const std::string_view unit : {"%", "Hz", "ms", "fps", "cd/m²"}) {
    const bool follows = std::isdigit(static_cast<unsigned char>(text[end - 1])) != 0 &&
                         text.compare(end, unit.size() + 1, " " + std::string(unit)) == 0;
    if (follows) return std::min(text.find(' ', end + 1), text.size());
  }
  return end;
}

}  // namespace

std::string number(double value, int digits) {
  if (value == 0.0) return "0";
  const int magnitude = static_cast<int>(std::floor(std::log10(std::abs(value))));
  const int decimals = std::clamp(digits - 1 - magnitude, 0, 9);
  return fmt::format("{:.{}f}", value, decimals);
}

std::string percent(double value) {
  if (std::abs(value) < 0.005) return value == 0.0 ? "0 %" : "under 0.01 %";
  if (std::abs(value) < 1.0) return fmt::format("{:.2f} %", value);
  return fmt::format("{:.1f} %", value);
}

std::string hertz(double hz, double sd) {
  const int decimals =
      sd > 0.0 ? std::clamp(1 - static_cast<int>(std::floor(std::log10(sd))), 0, 4) : 4;
  if (sd < 0.00005) return fmt::format("{:.{}f} Hz", hz, decimals);
  return fmt::format("{:.{}f} ± {:.{}f} Hz", hz, decimals, sd, decimals);
}

std::string hertz(double hz) {
  if (std::abs(hz) >= 10000.0) return fmt::format("{} kHz", number(hz / 1000.0, 4));
  return fmt::format("{:.5g} Hz", hz);
}

std::string with_uncertainty(double value, double sd, int decimals, const std::string& unit) {
  const std::string tail = unit.empty() ? "" : " " + unit;
  if (sd < 0.5 * std::pow(10.0, -decimals)) return fmt::format("{:.{}f}{}", value, decimals, tail);
  return fmt::format("{:.{}f} ± {:.{}f}{}", value, decimals, sd, decimals, tail);
}

std::string duration(double seconds) {
  if (seconds >= 120.0) return fmt::format("{} min", number(seconds / 60.0, 3));
  if (seconds >= 1.0) return fmt::format("{:.2f} s", seconds);
  if (seconds >= 1e-3) return fmt::format("{} ms", number(seconds * 1e3, 3));
  return fmt::format("{} µs", number(seconds * 1e6, 3));
}

int columns(const std::string& text) {
  return static_cast<int>(
      std::count_if(text.begin(), text.end(), [](char c) { return !continues_character(c); }));
}

std::string wrapped(const std::string& text, int width, const std::string& lead) {
  const int indent = columns(lead);
  std::string result = lead;
  int column = indent;
  bool line_start = true;
  for (std::size_t i = 0; i < text.size();) {
    if (text[i] == ' ') {
      ++i;
      continue;
    }
    const std::size_t end = end_of_word(text, i);
    const std::string word = text.substr(i, end - i);
    if (!line_start && column + 1 + columns(word) > width) {
      result += "\n" + std::string(static_cast<std::size_t>(indent), ' ');
      column = indent;
      line_start = true;
    }
    if (!line_start) {
      result += ' ';
      ++column;
    }
    result += word;
    column += columns(word);
    line_start = false;
    i = end;
  }
  return result;
}

std::string bold(const std::string& text, const TextStyle& style) {
  return style.colour ? "\033[1m" + text + "\033[0m" : text;
}

std::string table(const std::vector<Row>& rows, const TextStyle& style) {
  int label_width = 0;
  int value_width = 0;
  for (const Row& row : rows) {
    label_width = std::max(label_width, columns(row.label));
    if (!row.remark.empty()) value_width = std::max(value_width, columns(row.value));
  }
  std::string result;
  for (const Row& row : rows) {
    std::string lead = "  " + row.label;
    lead.append(static_cast<std::size_t>(label_width - columns(row.label) + 3), ' ');
    if (row.remark.empty()) {
      result += wrapped(row.value, style.width, lead) + "\n";
      continue;
    }
    lead += row.value;
    lead.append(static_cast<std::size_t>(std::max(0, value_width - columns(row.value)) + 3), ' ');
    result += wrapped(row.remark, style.width, lead) + "\n";
  }
  return result;
}

std::string sentences(const std::string& heading, const std::vector<std::string>& list,
                      const TextStyle& style) {
  if (list.empty()) return "";
  std::string result = bold(heading, style) + "\n";
  for (const std::string& sentence : list) {
    result += wrapped(sentence, style.width, "  - ") + "\n";
  }
  return result;
}

namespace {

/// A message may begin with a file's name, which keeps its small letter.
bool starts_with_word(const std::string& message) {
  const std::string first = message.substr(0, message.find(' '));
  return first.find_first_of("./:_") == std::string::npos;
}

}  // namespace

std::string findings(const std::string& heading, const Findings& list, const TextStyle& style) {
  std::vector<std::string> messages;
  for (const Finding& finding : list) {
    std::string message = finding.message;
    if (!message.empty() && message[0] >= 'a' && message[0] <= 'z' && starts_with_word(message)) {
      message[0] = static_cast<char>(message[0] - 'a' + 'A');
    }
    messages.push_back(std::move(message));
  }
  return sentences(heading, messages, style);
}

std::string shown_name(const std::string& name) {
  std::string safe;
  for (const char c : name) {
    const auto code = static_cast<unsigned char>(c);
    if (code < 0x20 || code == 0x7F) {
      safe += fmt::format("\\x{:02x}", code);
    } else {
      safe += c;
    }
  }
  if (columns(safe) <= 60) return safe;
  std::size_t head = 28;
  while (head > 0 && continues_character(safe[head])) --head;
  std::size_t tail = safe.size() - 28;
  while (tail < safe.size() && continues_character(safe[tail])) ++tail;
  return safe.substr(0, head) + "…" + safe.substr(tail);
}

}  // namespace lampbeat::text
