#include <fmt/format.h>

#include <cmath>
#include <string_view>

#include "lampbeat/csv.hpp"
#include "lampbeat/rating.hpp"
#include "lampbeat/shot.hpp"
#include "words/foreign_text.hpp"

namespace lampbeat {

namespace {

/// A text cell. Spreadsheets run a cell that starts with one of = + - @ (or hides one behind a tab
/// or line break) as a formula; an apostrophe in front makes it text.
std::string cell(std::string_view text) {
  const bool formula = !text.empty() && std::string_view("=+-@\t\r\n").find(text[0]) != text.npos;
  std::string safe = words::for_page(text);
  if (formula) safe.insert(0, 1, '\'');
  if (safe.find_first_of("\",;'") == std::string::npos && safe.find(' ') == std::string::npos) {
    return safe;
  }
  std::string quoted(1, '"');
  for (const char c : safe) {
    if (c == '"') quoted += c;
    quoted += c;
  }
  quoted += '"';
  return quoted;
}

std::string cell(std::optional<double> value) {
  return value && std::isfinite(*value) ? fmt::format("{}", *value) : std::string();
}

/// "24 25 59.94"
std::string cell(const std::vector<FrameRate>& rates) {
  std::string labels;
  for (const FrameRate fps : rates) labels += (labels.empty() ? "" : " ") + frame_rate_label(fps);
  return cell(std::string_view(labels));
}

}  // namespace

std::string to_csv(const ShelfRating& rating) {
  std::string csv =
      "rank,fixture,capture,level,percent_flicker,flicker_index,dominant_hz,svm,ieee1789,filming,"
      "shortest_clean_exposure_s,clean_stops,highest_clean_fps,clean_180_fps,captures,notes,"
      "failed\n";
  for (const FixtureRating& f : rating.fixtures) {
    csv += fmt::format(
        "{},{},{},{},{},{},{},{},{},{},{},{},{},{},{},{},\n", f.rank, cell(f.fixture),
        cell(f.capture), cell(f.level), cell(f.percent_flicker), cell(f.flicker_index),
        cell(f.dominant_hz), cell(f.svm),
        cell(f.ieee ? std::string_view(level_words(f.ieee->level)) : std::string_view()),
        cell(std::string_view(filming_words(f.filming.filming))),
        cell(f.filming.shortest_clean_exposure_s), cell(std::optional(f.filming.clean_stops)),
        cell(f.filming.highest_clean_fps), cell(f.filming.clean_180), f.captures, cell(f.notes));
  }
  for (const FailedCapture& f : rating.failed) {
    csv +=
        fmt::format(",{},{},,,,,,,,,,,,,,{}\n", cell(f.fixture), cell(f.capture), cell(f.reason));
  }
  return csv;
}

}  // namespace lampbeat
