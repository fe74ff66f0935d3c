#include "capture/table/column_times.hpp"

#include <algorithm>
#include <array>
#include <cmath>

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

void refuse_two_rates(const std::string& file, const std::vector<clock::StatedInterval>& stated) {
  if (stated.size() < 2) return;
  throw UsageError(fmt::format(
      "{}: its header states two sampling rates, {} Hz (line {}) and {} Hz (line {});\nsay which "
      "with --rate HZ",
      file, words::in_digits_at_most(1.0 / stated[0].interval_s, 6), stated[0].line,
      words::in_digits_at_most(1.0 / stated[1].interval_s, 6), stated[1].line));
}

bool contradicts(double rate_hz, const std::vector<clock::StatedInterval>& stated) {
  constexpr double rounding = 1e-3;
  return std::none_of(stated.begin(), stated.end(), [&](const clock::StatedInterval& s) {
    return std::abs(rate_hz * s.interval_s - 1.0) <= s.tolerance + rounding;
  });
}

Finding rate_contradicted(double rate_hz, const clock::StatedInterval& stated) {
  return {"interval_contradicted",
          fmt::format("The table itself states {} samples a second (line {}); --rate {:g} was used "
                      "instead. Leave --rate out where the table is right.",
                      words::in_digits_at_most(1.0 / stated.interval_s, 6), stated.line, rate_hz)};
}

/// The usual step between the first printed times, and what rounding makes of it, in their unit.
struct PrintedStep {
  double step = 0.0;
  double rounding = 0.0;

  bool is(double interval) const {
    constexpr double alike = 0.05;
    return std::abs(interval - step) <= alike * step + rounding;
  }
};

PrintedStep printed_step(const Sample& sample, std::size_t column, double rounding) {
  const auto steps = static_cast<double>(std::max<std::size_t>(sample.rows.size(), 2) - 1);
  const double span =
      sample.number(sample.rows.size() - 1, column, 0.0) - sample.number(0, column, 0.0);
  return {span / steps, 2.0 * rounding / steps};
}

/// Times without a unit are in the one in which they go with what is stated.
std::optional<clock::TimeUnit> unit_by_statement(const PrintedStep& printed,
                                                 const std::vector<clock::StatedInterval>& stated) {
  constexpr std::array units = {clock::TimeUnit{1.0, "s"}, clock::TimeUnit{1e3, "ms"},
                                clock::TimeUnit{1e6, "us"}, clock::TimeUnit{1e9, "ns"}};
  for (const clock::TimeUnit& unit : units) {
    for (const clock::StatedInterval& s : stated) {
      if (s.has_unit && printed.is(s.interval_s * unit.per_second)) return unit;
    }
  }
  return std::nullopt;
}

/// Of what is stated, what goes with the first printed times; where none does, the first: that it
/// contradicts them is told when all of them are known. A figure without a unit may be in theirs.
std::optional<clock::StatedInterval> stated_beside_times(
    const PrintedStep& printed, const clock::TimeUnit& unit,
    const std::vector<clock::StatedInterval>& stated) {
  if (stated.empty()) return std::nullopt;
  for (clock::StatedInterval s : stated) {
    if (printed.is(s.interval_s * unit.per_second)) return s;
    s.interval_s /= unit.per_second;
    if (!s.has_unit && printed.is(s.interval_s * unit.per_second)) return s;
  }
  return stated.front();
}

}  // namespace

ColumnTimes column_times(const std::string& file, const ColumnChoice& columns,
                         const Headings& headings, const Sample& sample,
                         const std::optional<double>& rate_hz,
                         const std::vector<clock::StatedInterval>& stated) {
  ColumnTimes times;
  if (!columns.time) {
    if (!rate_hz && stated.empty()) refuse_without_times(file, columns, headings, sample.columns);
    if (!rate_hz) {
      refuse_two_rates(file, stated);
      times.stated = stated.front();
    } else if (!stated.empty() && contradicts(*rate_hz, stated)) {
      times.findings.push_back(rate_contradicted(*rate_hz, stated.front()));
    }
    return times;
  }
  const std::size_t column = *columns.time;
  const std::string name = column_words(headings.names, column);
  const auto below = headings.unit_in_row(column);
  const auto unit = below ? below : clock::read_time_heading(headings.name(column)).unit;
  times.rounding = printed_rounding(sample, column);
  const PrintedStep printed = printed_step(sample, column, times.rounding);
  const auto told = unit ? unit : unit_by_statement(printed, stated);
  if (!told) doubt_seconds(sample, column, name, times.findings);
  times.unit = told.value_or(clock::TimeUnit{});
  times.stated = stated_beside_times(printed, times.unit, stated);
  if (rate_hz) {
    times.findings.push_back(
        {"rate_ignored",
         fmt::format("The times in {} were used, not the rate {:g} given beside them.", name,
                     *rate_hz)});
  }
  return times;
}

}  // namespace lampbeat::capture::table
