#include <fmt/format.h>

#include "lampbeat/shot.hpp"
#include "lampbeat/text.hpp"
#include "lampbeat/text_style.hpp"
#include "words/columns.hpp"
#include "words/foreign_text.hpp"
#include "words/numbers.hpp"
#include "words/sections.hpp"
#include "words/units.hpp"
#include "words/wrapping.hpp"

namespace lampbeat {

namespace {

std::string exposure_words(const FixtureRating& f) {
  if (!f.filming.shortest_clean_exposure_s) return "none";
  if (*f.filming.shortest_clean_exposure_s <= 0.0) return "any";
  return exposure_label(*f.filming.shortest_clean_exposure_s);
}

std::string number_words(std::optional<double> value, const char* unit, const char* otherwise) {
  return value ? words::in_digits(*value) + unit : std::string(otherwise);
}

constexpr int name_columns(int width) { return width >= 90 ? 30 : width >= 72 ? 20 : 16; }

std::string table(const ShelfRating& rating, const TextStyle& style) {
  const bool wide = style.width >= 72;
  const int names = name_columns(style.width);
  std::string text =
      "rank " + words::padded("fixture", names) + " filming                clean from";
  if (wide) text += "   flicker   strongest";
  text += "\n";
  for (const FixtureRating& f : rating.fixtures) {
    text += fmt::format("{:>4} {} {:<22} {:<10}", f.rank,
                        words::padded(words::shown_name(f.fixture, names), names),
                        filming_words(f.filming.filming), exposure_words(f));
    if (wide) {
      text += fmt::format(" {:>9} {:>11}", number_words(f.percent_flicker, " %", "steady"),
                          f.dominant_hz ? words::hertz(*f.dominant_hz) : std::string("none"));
    }
    text.erase(text.find_last_not_of(' ') + 1);
    text += "\n";
    if (f.captures > 1) {
      const std::string decided =
          fmt::format("decided by {} (worst of {} captures)",
                      words::shown_name(f.level.empty() ? f.capture : f.level), f.captures);
      text += words::wrapped(decided, style.width, "     ", 7) + "\n";
    }
  }
  return text;
}

}  // namespace

std::string to_text(const ShelfRating& rating, const TextStyle& style) {
  std::string text;
  if (rating.fixtures.empty()) {
    text += words::bold("No fixture could be rated.", style) + "\n";
  } else {
    const FixtureRating& best = rating.fixtures.front();
    const std::string first = fmt::format("First: {} ({}).", words::shown_name(best.fixture),
                                          filming_words(best.filming.filming));
    text += words::bold(first, style) + "\n\n" + table(rating, style);
  }
  for (const Finding& f : rating.findings) {
    text += "\n" + words::wrapped(words::for_terminal(f.message), style.width) + "\n";
  }
  if (!rating.failed.empty()) {
    text += "\nCould not be rated:\n";
    for (const FailedCapture& f : rating.failed) {
      // Most reasons begin with the file's name; the others are given it.
      std::string line = f.fixture == f.capture ? "" : f.fixture + ": ";
      if (f.reason.rfind(f.capture, 0) != 0) line += f.capture + ": ";
      text += words::wrapped(words::for_terminal(line + f.reason), style.width, "  ", 4) + "\n";
    }
  }
  return text;
}

}  // namespace lampbeat
