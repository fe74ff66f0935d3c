#include <fmt/format.h>

#include <algorithm>

#include "lampbeat/shot.hpp"
#include "lampbeat/text.hpp"
#include "lampbeat/text_style.hpp"
#include "words/numbers.hpp"
#include "words/safe_text.hpp"

namespace lampbeat {

namespace {

/// Characters, not bytes; good enough to line columns up.
std::size_t columns_of(const std::string& text) {
  return static_cast<std::size_t>(std::count_if(text.begin(), text.end(), [](char c) {
    return (static_cast<unsigned char>(c) & 0xC0U) != 0x80U;
  }));
}

/// The front of a text and an ellipsis when it is too long, then blanks up to the width.
std::string fitted(const std::string& text, std::size_t width) {
  if (columns_of(text) <= width) return text + std::string(width - columns_of(text), ' ');
  std::string front;
  std::size_t columns = 0;
  for (std::size_t i = 0; i < text.size();) {
    std::size_t end = i + 1;
    while (end < text.size() && (static_cast<unsigned char>(text[end]) & 0xC0U) == 0x80U) ++end;
    if (columns + 1 >= width) break;
    front += text.substr(i, end - i);
    ++columns;
    i = end;
  }
  return front + "…";
}

std::string exposure_words(const FixtureRating& f) {
  if (!f.filming.shortest_clean_exposure_s) return "none";
  if (*f.filming.shortest_clean_exposure_s <= 0.0) return "any";
  return exposure_label(*f.filming.shortest_clean_exposure_s);
}

std::string number_words(std::optional<double> value, const char* unit, const char* otherwise) {
  return value ? in_digits(*value) + unit : std::string(otherwise);
}

/// Breaks a text at blanks so that it fits, its first line set in by `first`, later ones by
/// `later`.
std::string wrapped(const std::string& text, int width, std::size_t first, std::size_t later) {
  std::string result;
  std::string line(first, ' ');
  bool fresh = true;
  std::size_t at = 0;
  while (at < text.size()) {
    const std::size_t end = std::min(text.find(' ', at), text.size());
    const std::string word = text.substr(at, end - at);
    if (!fresh && columns_of(line) + 1 + columns_of(word) > static_cast<std::size_t>(width)) {
      result += line + "\n";
      line = std::string(later, ' ') + word;
    } else {
      line += (fresh ? "" : " ") + word;
    }
    fresh = false;
    at = end + 1;
  }
  return result + line + "\n";
}

constexpr std::size_t name_columns(int width) { return width >= 90 ? 30 : width >= 72 ? 20 : 16; }

std::string table(const ShelfRating& rating, const TextStyle& style) {
  const bool wide = style.width >= 72;
  const std::size_t names = name_columns(style.width);
  std::string text = "rank " + fitted("fixture", names) + " filming                clean from";
  if (wide) text += "   flicker   strongest";
  text += "\n";
  for (const FixtureRating& f : rating.fixtures) {
    text += fmt::format("{:>4} {} {:<22} {:<10}", f.rank, fitted(safe_text(f.fixture), names),
                        filming_words(f.filming.filming), exposure_words(f));
    if (wide) {
      text += fmt::format(" {:>9} {:>11}", number_words(f.percent_flicker, " %", "steady"),
                          f.dominant_hz ? hz_label(*f.dominant_hz) : std::string("none"));
    }
    text.erase(text.find_last_not_of(' ') + 1);
    text += "\n";
    if (f.captures > 1) {
      text += wrapped(fmt::format("decided by {} (worst of {} captures)",
                                  safe_text(f.level.empty() ? f.capture : f.level), f.captures),
                      style.width, 5, 7);
    }
  }
  return text;
}

}  // namespace

std::string to_text(const ShelfRating& rating, const TextStyle& style) {
  std::string text;
  const std::string bold = style.colour ? "\033[1m" : "";
  const std::string plain = style.colour ? "\033[0m" : "";
  if (rating.fixtures.empty()) {
    text += bold + "No fixture could be rated." + plain + "\n";
  } else {
    const FixtureRating& best = rating.fixtures.front();
    text += bold +
            fmt::format("First: {} ({}).", safe_text(best.fixture),
                        filming_words(best.filming.filming)) +
            plain + "\n\n";
    text += table(rating, style);
  }
  for (const Finding& f : rating.findings) {
    text += "\n" + wrapped(safe_text(f.message), style.width, 0, 0);
  }
  if (!rating.failed.empty()) {
    text += "\nCould not be rated:\n";
    for (const FailedCapture& f : rating.failed) {
      // Most reasons begin with the file's name; the others are given it.
      std::string line = f.fixture == f.capture ? "" : safe_text(f.fixture) + ": ";
      if (f.reason.rfind(f.capture, 0) != 0) line += safe_text(f.capture) + ": ";
      text += wrapped(line + safe_text(f.reason), style.width, 2, 4);
    }
  }
  return text;
}

}  // namespace lampbeat
