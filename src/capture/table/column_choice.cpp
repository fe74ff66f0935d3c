#include "capture/table/column_choice.hpp"

#include <fmt/format.h>

#include "capture/clock/time_unit.hpp"
#include "lampbeat/error.hpp"

namespace lampbeat::capture::table {
namespace {

std::vector<std::size_t> numeric_columns(const Reading& reading, const Sample& sample) {
  std::vector<std::size_t> numeric;
  for (std::size_t column = 0; column < reading.columns; ++column) {
    if (column_of_numbers(sample, column)) numeric.push_back(column);
  }
  return numeric;
}

/// The first column whose heading, or whose unit below it, is a time's.
std::optional<std::size_t> time_by_heading(const std::vector<std::size_t>& numeric,
                                           const Headings& headings, const Reading& reading) {
  for (const std::size_t column : numeric) {
    const bool names_time =
        headings.unit_in_row(column) || clock::read_time_heading(headings.name(column)).names_time;
    if (names_time && column != reading.value_wish) return column;
  }
  return std::nullopt;
}

/// Without headings, a first column that rises is a time, unless it only counts the rows.
void judge_first_column(ColumnChoice& choice, const Sample& sample, bool rate_given) {
  const std::size_t first = choice.numeric.front();
  switch (course_of(sample, first)) {
    case Course::counts_rows:
      choice.row_number = first;
      break;
    case Course::rises:
      choice.time = first;
      break;
    case Course::mostly_rises:  // with a rate given, as likely readings
      if (!rate_given) choice.time = first;
      break;
    case Course::wanders:
      break;
  }
}

void choose_time(ColumnChoice& choice, const Headings& headings, const Reading& reading,
                 const Sample& sample, bool rate_given, bool rate_stated) {
  choice.time =
      reading.time_wish ? reading.time_wish : time_by_heading(choice.numeric, headings, reading);
  const bool first_is_free =
      choice.numeric.size() >= 2 && choice.numeric.front() != reading.value_wish;
  // Above a table that states its interval, settings may pass for headings.
  const bool told_by_name = !headings.names.empty() && !rate_stated;
  if (!choice.time && !told_by_name && first_is_free) {
    judge_first_column(choice, sample, rate_given);
  }
}

void find_row_number(ColumnChoice& choice, const Headings& headings) {
  for (const std::size_t column : choice.numeric) {
    if (choice.row_number) return;
    if (column != choice.time && clock::names_row_number(headings.name(column))) {
      choice.row_number = column;
    }
  }
}

/// Columns that may be the sensor's. Those that only count are left out unless all do.
void find_candidates(ColumnChoice& choice, const Sample& sample) {
  std::vector<std::size_t> candidates;
  for (const std::size_t column : choice.numeric) {
    if (column != choice.time && column != choice.row_number) candidates.push_back(column);
  }
  if (candidates.empty() && choice.row_number && !choice.time) {
    candidates.push_back(*choice.row_number);
  }
  for (const std::size_t column : candidates) {
    (only_counts(sample, column) ? choice.left_out : choice.candidates).push_back(column);
  }
  if (choice.candidates.empty()) choice.candidates.swap(choice.left_out);
}

}  // namespace

ColumnChoice choose_columns(const std::string& file, const Headings& headings,
                            const Reading& reading, const Sample& sample, bool rate_given,
                            bool rate_stated) {
  ColumnChoice choice;
  choice.numeric = numeric_columns(reading, sample);
  choose_time(choice, headings, reading, sample, rate_given || rate_stated, rate_stated);
  find_row_number(choice, headings);
  find_candidates(choice, sample);
  if (!reading.value_wish && choice.candidates.empty()) {
    throw InputError(fmt::format(
        "{}: it has a column of times but none of readings beside it; export the sensor's column "
        "too,\nor choose one with --value",
        file));
  }
  choice.value = reading.value_wish ? *reading.value_wish : choice.candidates.front();
  if (choice.time == choice.value) {
    throw UsageError(fmt::format("{}: --time and --value name the same {}", file,
                                 column_words(headings.names, choice.value)));
  }
  return choice;
}

}  // namespace lampbeat::capture::table
