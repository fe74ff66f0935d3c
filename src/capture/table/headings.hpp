#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "capture/clock/time_unit.hpp"
#include "capture/table/head.hpp"
#include "capture/table/reading.hpp"

namespace lampbeat::capture::table {

/// What stands above the columns.
struct Headings {
  std::vector<std::string> names;                     ///< empty without a heading line
  std::vector<std::optional<clock::TimeUnit>> units;  ///< from a units row

  std::string_view name(std::size_t column) const;
  /// Whether a units row gives the column a unit of time.
  std::optional<clock::TimeUnit> unit_in_row(std::size_t column) const;
};

Headings find_headings(const Head& head, const Reading& reading);

/// Column `column` (from 0) for people: `column 2 ("light")`.
std::string column_words(const std::vector<std::string>& names, std::size_t column);

/// What a table has, for a complaint: `the columns "time", "light"`, `2 columns without names`.
std::string names_for_people(const Headings& headings, std::size_t columns);

}  // namespace lampbeat::capture::table
