#include <fmt/format.h>

#include <algorithm>
#include <string>
#include <vector>

#include "lampbeat/shot.hpp"
#include "lampbeat/text.hpp"
#include "lampbeat/text_style.hpp"
#include "words/columns.hpp"
#include "words/foreign_text.hpp"
#include "words/lists.hpp"
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

/// At most nine columns, so that a depth nobody could see does not push its neighbours aside.
std::string depth_words(const FixtureRating& f) {
  if (!f.percent_flicker) return f.depth_assumed ? "not known" : "steady";
  constexpr double least_shown = 0.001;
  const bool tiny = *f.percent_flicker > 0.0 && *f.percent_flicker < least_shown;
  return (tiny ? std::string("<0.001") : words::in_digits(*f.percent_flicker)) + " %";
}

constexpr int rank_columns = 4;
constexpr int filming_columns = 21;
constexpr int exposure_columns = 10;
constexpr int stops_columns = 5;
constexpr int depth_columns = 9;
constexpr int rhythm_columns = 11;

/// Which columns the terminal has room for, and how much of it the names get.
struct Layout {
  bool depth = false, rhythm = false;
  int names = 0;
};

Layout layout_for(int width) {
  constexpr int shortest_names = 16;  // tells fixtures of a room apart
  constexpr int longest_names = 30;   // further to the right no eye follows the line
  int taken = rank_columns + 1 + 1 + filming_columns + 1 + exposure_columns + 1 + stops_columns;
  const auto fits = [&](int columns) {
    if (width < taken + 1 + columns + shortest_names) return false;
    taken += 1 + columns;
    return true;
  };
  const bool depth = fits(depth_columns);
  const bool rhythm = depth && fits(rhythm_columns);
  return {depth, rhythm, std::clamp(width - taken, shortest_names, longest_names)};
}

std::string table(const ShelfRating& rating, const TextStyle& style) {
  const Layout layout = layout_for(style.width);
  std::string text =
      "rank " + words::padded("fixture", layout.names) + " filming               clean from stops";
  if (layout.depth) text += "   flicker";
  if (layout.rhythm) text += "   strongest";
  text += "\n";
  for (const FixtureRating& f : rating.fixtures) {
    text += fmt::format("{:>{}} {} {:<{}} {:<{}} {:>{}}", f.rank, rank_columns,
                        words::padded(words::shown_name(f.fixture, layout.names), layout.names),
                        filming_words(f.filming.filming), filming_columns, exposure_words(f),
                        exposure_columns, words::clean_stops(f.filming.clean_stops), stops_columns);
    if (layout.depth) text += fmt::format(" {:>{}}", depth_words(f), depth_columns);
    if (layout.rhythm) {
      text +=
          fmt::format(" {:>{}}", f.dominant_hz ? words::hertz(*f.dominant_hz) : std::string("none"),
                      rhythm_columns);
    }
    text.erase(text.find_last_not_of(' ') + 1);
    text += "\n";
    if (f.captures > 1) {
      constexpr int indent = 7;
      const std::string decided =
          fmt::format("decided by {} (worst of {} captures)",
                      words::shown_name(f.level.empty() ? f.capture : f.level,
                                        std::min(words::longest_name, style.width - indent)),
                      f.captures);
      text += words::wrapped(decided, style.width, "     ", indent) + "\n";
    }
  }
  return text;
}

std::string meaning_of_stops(const std::vector<FrameRate>& rates) {
  std::string sentence = "stops: of the 8.3 stops from 1/8000 to 1/25 s, how many are clean";
  std::vector<std::string> labels;
  for (const FrameRate fps : rates) labels.push_back(frame_rate_label(fps));
  if (labels.size() == 1) sentence += fmt::format(" at {} fps", labels.front());
  if (labels.size() > 1) {
    sentence +=
        fmt::format(" at the worst of these frame rates ({} fps)", words::listed(labels, "or"));
  }
  return sentence + ".";
}

}  // namespace

std::string to_text(const ShelfRating& rating, const TextStyle& style) {
  std::string text;
  if (rating.fixtures.empty()) {
    text += words::bold("No fixture could be rated.", style) + "\n";
  } else {
    const FixtureRating& best = rating.fixtures.front();
    const std::string first =
        fmt::format("First: {} ({}).",
                    words::shown_name(best.fixture, std::min(words::longest_name, style.width)),
                    filming_words(best.filming.filming));
    text += words::bold(words::wrapped(first, style.width), style) + "\n\n" + table(rating, style);
    text += "\n" + words::wrapped(meaning_of_stops(rating.rates), style.width) + "\n";
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
