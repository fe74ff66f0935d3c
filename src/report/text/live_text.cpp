#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <string>
#include <string_view>

#include "lampbeat/text.hpp"
#include "words/columns.hpp"
#include "words/numbers.hpp"
#include "words/units.hpp"

namespace lampbeat {

namespace {

constexpr int trace_columns = 16;
constexpr int level_columns = 8;
constexpr int figure_columns = 17;
constexpr int hertz_columns = 10;

constexpr std::array<std::string_view, 9> steps_of_ink = {
    " ", "\u2581", "\u2582", "\u2583", "\u2584", "\u2585", "\u2586", "\u2587", "\u2588"};
constexpr std::array<std::string_view, 9> steps_of_ascii = {" ", "_", ".", "-", "~",
                                                            "=", "+", "*", "#"};

/// Ink as high as `share` of a line, 0 to 1.
std::string_view ink(double share, bool unicode) {
  const auto& marks = unicode ? steps_of_ink : steps_of_ascii;
  const auto highest = static_cast<double>(marks.size() - 1);
  return marks[static_cast<std::size_t>(std::lround(std::clamp(share, 0.0, 1.0) * highest))];
}

/// The cycle from dark to its brightest; where no mean is known, from its darkest.
std::string trace(const std::vector<double>& cycle, bool unicode) {
  std::string drawn;
  if (cycle.empty()) return std::string(trace_columns, ' ');
  const auto [lowest, highest] = std::minmax_element(cycle.begin(), cycle.end());
  const double floor = std::min(0.0, *lowest);
  const double height = *highest - floor;
  for (std::size_t column = 0; column < trace_columns; ++column) {
    const double at = cycle[column * cycle.size() / trace_columns];
    drawn += ink(height > 0.0 ? (at - floor) / height : 0.0, unicode);
  }
  return drawn;
}

std::string level_bar(double level, bool unicode) {
  std::string bar;
  for (int column = 0; column < level_columns; ++column) {
    bar += ink(level * level_columns - column, unicode);
  }
  return bar;
}

std::string depth(const LiveReading& reading) {
  if (reading.percent_flicker) {
    return words::with_uncertainty(*reading.percent_flicker,
                                   reading.percent_flicker_sd.value_or(0.0), 1, "%");
  }
  if (reading.steady_below_percent) {
    return "steady to " + words::percent(*reading.steady_below_percent);
  }
  return "% not known";
}

std::string frequency(const LiveReading& reading) {
  constexpr int digits = 5;
  return reading.dominant_hz ? words::hertz(*reading.dominant_hz, digits) : "";
}

std::string trouble(const LiveReading& reading) {
  if (reading.clipped) return "too bright: out of range";
  if (reading.too_dark) return "too dark: move closer";
  if (reading.coupled) return "no steady level";
  return "";
}

/// On a narrow terminal what is wrong matters more than the trace.
std::string drawn_line(const LiveReading& reading, const TextStyle& style) {
  const std::string figures =
      fmt::format("{:>7.1f} s  {} {}", reading.at_s, words::padded(depth(reading), figure_columns),
                  words::padded(frequency(reading), hertz_columns));
  const std::string rest =
      fmt::format("  level [{}] {}", level_bar(reading.level, style.unicode), trouble(reading));
  const int taken = words::columns(figures) + words::columns(rest) + 1 + trace_columns;
  const std::string drawn =
      taken <= style.width ? " " + trace(reading.cycle, style.unicode) : std::string();
  return std::string(words::front(figures + drawn + rest, style.width));
}

std::string plain_line(const LiveReading& reading) {
  constexpr double percent = 100.0;
  std::string line = fmt::format("{:.1f} s: {}", reading.at_s, depth(reading));
  if (reading.dominant_hz) line += " at " + frequency(reading);
  if (reading.mean) line += ", mean " + words::in_digits(*reading.mean);
  if (reading.range_known) {
    line += ", level " + words::in_digits_at_most(percent * reading.level) + " % of the range";
  }
  const std::string wrong = trouble(reading);
  return wrong.empty() ? line : line + ", " + wrong;
}

}  // namespace

std::string to_text(const LiveReading& reading, const TextStyle& style, bool drawn) {
  return drawn ? drawn_line(reading, style) : plain_line(reading);
}

}  // namespace lampbeat
