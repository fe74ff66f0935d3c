#include "capture/table/column_times.hpp"

#include <fmt/format.h>

#include "lampbeat/error.hpp"
#include "words/numbers.hpp"

namespace lampbeat::capture::table {
namespace {

[[noreturn]] void refuse_without_times(const std::string& file, const ColumnChoice& columns,
                                       const Headings& headings, std::size_t all_columns) {
  if (columns.row_number) {
    throw UsageError(fmt::format(
        "{}: {} counts rows, which is no time; add --rate HZ (samples per second),\nor --time {} "
        "if it does count seconds",
        file, column_words(headings.names, *columns.row_number), *columns.row_number + 1));
  }
  throw UsageError(
      fmt::format("{}: it has {}, and none is a time; add --rate HZ (samples per second){}", file,
                  names_for_people(headings, all_columns),
                  columns.numeric.size() > 1 ? ", or choose the time with --time COL" : ""));
}

/// Times without a unit that would make a slow sensor are rather milliseconds.
void doubt_seconds(const Sample& sample, std::size_t column, const std::string& name,
                   Findings& findings) {
  constexpr std::size_t fewest_rows = 3;
  constexpr double slowest_step_s = 0.1;
  if (sample.rows.size() < fewest_rows) return;
  const std::size_t steps = sample.rows.size() - 1;
  const double span = sample.number(steps, column, 0.0) - sample.number(0, column, 0.0);
  const double step_s = span / static_cast<double>(steps);
  if (!(step_s >= slowest_step_s)) return;
  findings.push_back(
      {"time_unit_assumed",
       fmt::format("The times in {} state no unit and were taken as seconds, which makes "
                   "only {} samples per second. If they count milliseconds or "
                   "microseconds, name the column time_ms or time_us in a heading line.",
                   name, words::in_digits_at_most(1.0 / step_s, 3))});
}

}  // namespace

ColumnTimes column_times(const std::string& file, const ColumnChoice& columns,
                         const Headings& headings, const Sample& sample,
                         const std::optional<double>& rate_hz) {
  ColumnTimes times;
  if (!columns.time) {
    if (!rate_hz) refuse_without_times(file, columns, headings, sample.columns);
    return times;
  }
  const std::size_t column = *columns.time;
  const std::string name = column_words(headings.names, column);
  const auto below = headings.unit_in_row(column);
  const auto unit = below ? below : clock::read_time_heading(headings.name(column)).unit;
  times.rounding = printed_rounding(sample, column);
  if (!unit) doubt_seconds(sample, column, name, times.findings);
  times.unit = unit.value_or(clock::TimeUnit{});
  if (rate_hz) {
    times.findings.push_back(
        {"rate_ignored",
         fmt::format("The times in {} were used, not the rate {:g} given beside them.", name,
                     *rate_hz)});
  }
  return times;
}

}  // namespace lampbeat::capture::table
