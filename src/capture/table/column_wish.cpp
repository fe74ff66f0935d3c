#include "capture/table/column_wish.hpp"

#include <algorithm>

#include <fmt/format.h>

#include "lampbeat/error.hpp"
#include "words/number_reader.hpp"

namespace lampbeat::capture::table {
namespace {

std::optional<ColumnWish> wish_from(const std::optional<std::string>& column, const char* option) {
  if (!column) return std::nullopt;
  ColumnWish wish{*column, std::nullopt};
  if (column->empty()) {
    throw UsageError(fmt::format("{} needs the name of a column or its number, from 1", option));
  }
  if (std::all_of(column->begin(), column->end(), words::is_digit)) {
    constexpr std::size_t most_digits = 6;  // far more than columns are read
    const std::size_t number = column->size() > most_digits ? 0 : std::stoul(*column);
    if (number == 0) {
      throw UsageError(fmt::format("{} counts columns from 1; {} is none", option, *column));
    }
    wish.index = number - 1;
  }
  return wish;
}

}  // namespace

ColumnWishes column_wishes(const CaptureOptions& options) {
  ColumnWishes wishes;
  wishes.time = wish_from(options.time_column, "--time");
  wishes.value = wish_from(options.value_column, "--value");
  return wishes;
}

}  // namespace lampbeat::capture::table
