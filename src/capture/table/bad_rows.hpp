#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include "lampbeat/finding.hpp"

namespace lampbeat::capture::table {

/// Rows that were left out because nobody can read them, and where the first of them are.
class BadRows {
 public:
  void add(std::uint64_t line, const std::string& reason);
  bool any() const { return count_ > 0; }
  std::uint64_t count() const { return count_; }
  /// Throws InputError where they are more than one in a hundred of all rows, `read` of which could
  /// be read.
  void refuse_too_many(const std::string& file, std::uint64_t read) const;
  /// Whether they are most of what came, so that reading on is of no use.
  bool prevail(std::uint64_t read) const;
  /// bad_rows_left_out.
  Finding finding(std::uint64_t read) const;

 private:
  std::string lines() const;

  std::uint64_t count_ = 0;
  std::vector<std::uint64_t> first_lines_;
  std::string first_reason_;
};

/// Rows before the first reading and after the last whose cells are blank.
struct BlankRows {
  std::uint64_t before = 0;
  std::uint64_t after = 0;
};
/// blank_rows_left_out.
Finding blank_rows_left_out(const BlankRows& blank);

}  // namespace lampbeat::capture::table
