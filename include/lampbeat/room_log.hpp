#pragma once

#include <cstddef>
#include <cstdint>
#include <string>
#include <vector>

#include "lampbeat/comparison.hpp"

namespace lampbeat {

/// A room's log: one line for each measurement, the very line of `measure --json` or `footage
/// --json` with "at" (ISO 8601, UTC) and "fixture" after its schema. Whatever reads such lines
/// reads a log.

/// The line of a result, dated and named. `result`: as `to_json` gives it.
std::string log_line(const std::string& result, const std::string& fixture, std::int64_t at_s);

/// Appends a line, whole and on the disk, or not at all; any number of programs may do so at once.
/// A line that a crash cut off stays what it is, and the new one stands below it. Throws
/// OutputError, also where the file is there and is no log.
void append_to_log(const std::string& path, const std::string& line);

/// One line of `measure --json` or `footage --json`, out of a log or not; or the places of a line
/// of `room --json`. Throws InputError saying what is wrong with it.
std::vector<Occasion> read_occasion_line(const std::string& line);

struct UnreadableLine {
  std::size_t number = 0;  ///< in its file, from 1
  std::string reason;
};

/// What a file of such lines holds.
struct ReadLines {
  std::vector<Occasion> occasions;   ///< in the order of the file
  std::vector<std::size_t> numbers;  ///< of their lines
  std::vector<UnreadableLine> unreadable;
};

/// Blank lines are passed over, lines that cannot be read are listed. "-" is standard input.
/// Throws InputError where the file cannot be read.
ReadLines read_occasion_lines(const std::string& path);

}  // namespace lampbeat
