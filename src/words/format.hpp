#pragma once

#include <optional>
#include <string>
#include <vector>

#include "lampbeat/finding.hpp"
#include "lampbeat/text_style.hpp"

// How figures and sentences are written for people. The one place that decides digits and units.

namespace lampbeat::text {

/// A number with `digits` significant digits, without exponent where a person would not use one.
std::string number(double value, int digits = 3);
/// "31.2 %"; "0.04 %"; tiny values as "under 0.01 %".
std::string percent(double value);
/// "120.030 ± 0.002 Hz": as many digits as the uncertainty supports (two digits of it, at most 4
/// decimals).
std::string hertz(double hz, double sd);
/// "120 Hz", "24.0 kHz".
std::string hertz(double hz);
/// "0.094 ± 0.001", or without the uncertainty when it is far below the last digit.
std::string with_uncertainty(double value, double sd, int decimals, const std::string& unit);
/// "3.00 s", "16 ms", "500 µs".
std::string duration(double seconds);

/// Breaks text into lines of at most `width` columns; the first line starts with `lead`, the
/// others with as many blanks. Words longer than a line (file names) are left whole.
std::string wrapped(const std::string& text, int width, const std::string& lead = "");
/// Columns a UTF-8 text takes on a terminal (one per character).
int columns(const std::string& text);

/// Bold, or plain when the style has no colour.
std::string bold(const std::string& text, const TextStyle& style);

/// "  label      value   remark", labels aligned.
struct Row {
  std::string label;
  std::string value;
  std::string remark;
};
std::string table(const std::vector<Row>& rows, const TextStyle& style);

/// The findings as a list of wrapped sentences under a heading; empty for none.
std::string findings(const std::string& heading, const Findings& list, const TextStyle& style);
std::string sentences(const std::string& heading, const std::vector<std::string>& list,
                      const TextStyle& style);

/// A name safe to show on a terminal: control characters and line ends escaped, long ones shortened
/// in the middle.
std::string shown_name(const std::string& name);

}  // namespace lampbeat::text
