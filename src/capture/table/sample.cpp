#include "capture/table/sample.hpp"

#include <algorithm>
#include <cmath>
#include <map>

#include "capture/table/cell_number.hpp"

namespace lampbeat::capture::table {

double Sample::number(std::size_t row, std::size_t column, double instead) const {
  return parse_number(rows[row][column], decimal).value_or(instead);
}

namespace {

std::size_t filled_cells(const std::vector<std::string>& row) {
  return static_cast<std::size_t>(
      std::count_if(row.begin(), row.end(), [](const std::string& cell) { return !cell.empty(); }));
}

/// Rows at the start whose readings had not begun yet, told by cells that nearly all others fill.
std::size_t unfilled_at_start(const std::vector<std::vector<std::string>>& rows) {
  std::map<std::size_t, std::size_t> rows_filled;
  for (const auto& row : rows) ++rows_filled[filled_cells(row)];
  const auto usual =
      std::max_element(rows_filled.begin(), rows_filled.end(),
                       [](const auto& a, const auto& b) { return a.second < b.second; });
  std::size_t unfilled = 0;
  while (unfilled < rows.size() && filled_cells(rows[unfilled]) < usual->first) ++unfilled;
  return unfilled;
}

}  // namespace

Sample sample_rows(const Head& head, const Reading& reading) {
  constexpr std::size_t most_rows = 200;
  Sample sample{{}, reading.columns, reading.decimal};
  Cells cells;
  for (std::size_t i = reading.first; i < head.lines.size(); ++i) {
    if (head.lines[i].skipped) continue;
    split_cells(head.lines[i].text, reading.separator, cells);
    const bool wide = i == reading.first && cells.size() == reading.widest;
    if (wide) cells.resize(reading.columns);
    if (cells.size() == reading.columns && row_of_numbers(cells, reading)) {
      sample.rows.emplace_back(cells.begin(), cells.end());
    }
  }
  if (sample.rows.empty()) return sample;
  const auto begin = sample.rows.begin();
  sample.rows.erase(begin, begin + static_cast<std::ptrdiff_t>(unfilled_at_start(sample.rows)));
  if (sample.rows.size() > most_rows) sample.rows.resize(most_rows);
  return sample;
}

bool column_of_numbers(const Sample& sample, std::size_t column) {
  const auto numbers = static_cast<std::size_t>(
      std::count_if(sample.rows.begin(), sample.rows.end(),
                    [&](const auto& row) { return is_number(row[column], sample.decimal); }));
  return numbers > 0 && 2 * numbers >= sample.rows.size();
}

Course course_of(const Sample& sample, std::size_t column) {
  std::size_t up = 0;
  std::size_t down = 0;
  std::size_t ones = 0;
  const std::size_t steps = sample.rows.size() - 1;
  for (std::size_t i = 1; i <= steps; ++i) {
    const double step = sample.number(i, column, 0.0) - sample.number(i - 1, column, 0.0);
    up += step > 0.0;
    down += step < 0.0;
    ones += step == 1.0;
  }
  if (steps >= 2 && ones == steps) return Course::counts_rows;
  if (up > 0 && down == 0) return Course::rises;
  return 2 * up >= steps && up > 0 ? Course::mostly_rises : Course::wanders;
}

bool only_counts(const Sample& sample, std::size_t column) {
  constexpr std::size_t fewest_rows = 8;
  constexpr double no_whole_number = 0.5;
  if (sample.rows.size() < fewest_rows) return false;
  std::map<double, std::size_t> steps;
  double last = 0.0;
  for (std::size_t i = 0; i < sample.rows.size(); ++i) {
    const double now = sample.number(i, column, no_whole_number);
    if (now != std::round(now) || (i > 0 && now < last)) return false;
    if (i > 0) ++steps[now - last];
    last = now;
  }
  steps.erase(0.0);
  std::size_t rises = 0;
  std::size_t usual = 0;
  for (const auto& [step, count] : steps) {
    rises += count;
    usual = std::max(usual, count);
  }
  const bool mostly_one_step = 10 * usual >= 8 * rises;
  return rises >= fewest_rows / 2 && mostly_one_step;
}

double printed_rounding(const Sample& sample, std::size_t column) {
  std::size_t most_decimals = 0;
  for (const auto& row : sample.rows) {
    const std::string& cell = row[column];
    if (cell.find_first_of("eE") != std::string::npos) return 0.0;
    const std::size_t mark = cell.find(sample.decimal);
    if (mark != std::string::npos) most_decimals = std::max(most_decimals, cell.size() - mark - 1);
  }
  double rounding = 1.0;
  for (std::size_t i = 0; i < most_decimals; ++i) rounding /= 10.0;
  return rounding;
}

bool has_decimals(const Sample& sample) {
  return std::any_of(sample.rows.begin(), sample.rows.end(), [&](const auto& row) {
    return std::any_of(row.begin(), row.end(), [&](const std::string& cell) {
      return cell.find(sample.decimal) != std::string::npos;
    });
  });
}

}  // namespace lampbeat::capture::table
