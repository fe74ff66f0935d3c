#include "capture/table/table_layout.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <map>
#include <utility>

#include <fmt/format.h>

#include "capture/table/cell_number.hpp"
#include "lampbeat/error.hpp"
#include "words/quoting.hpp"

namespace lampbeat {
namespace {

using Cells = std::vector<std::string_view>;

struct Line {
  std::uint64_t number = 0;
  std::string_view text;
  bool skipped = false;  ///< blank or a comment
};

/// A column as the user named it.
struct Wish {
  std::string text;
  std::optional<std::size_t> index;  ///< from 0, once known
};

/// One way to read the first lines, and how far it gets.
struct Reading {
  Separator separator = Separator::comma;
  char decimal = '.';
  std::size_t first = 0;  ///< index of the first data line
  std::size_t columns = 0;
  std::size_t rows = 0;  ///< lines of numbers from there on
  std::optional<std::size_t> time_wish;
  std::optional<std::size_t> value_wish;
};

struct Head {
  std::string_view text;
  char line_end = '\n';
  std::size_t skip_bytes = 0;
  std::vector<Line> lines;
};

// Looking at the first lines --------------------------------------------------------------------

bool starts_like_number(std::string_view line) {
  const std::size_t first = line.find_first_not_of(" \t\"");
  return first != std::string_view::npos &&
         std::string_view("0123456789+-.,;").find(line[first]) != std::string_view::npos;
}

/// Enough to see the columns' habits, and no more: a live pipe gives its rows slowly.
bool enough_lines(std::string_view text) {
  constexpr std::size_t most_bytes = 262144;
  constexpr int rows = 40;
  if (text.size() >= most_bytes) return true;
  const char line_end = text.find('\n') != std::string_view::npos ? '\n' : '\r';
  int seen = 0;
  while (!text.empty() && seen < rows) {
    const std::size_t stop = text.find(line_end);
    if (stop == std::string_view::npos) return false;
    if (starts_like_number(text.substr(0, stop))) ++seen;
    text.remove_prefix(stop + 1);
  }
  return seen == rows;
}

Head look_at_head(files::ByteSource& source) {
  constexpr std::size_t most_lines = 4000;
  bool more = true;
  while (more && !enough_lines(source.head())) more = source.look_further();
  Head head;
  head.text = source.head();
  head.skip_bytes = head.text.substr(0, 3) == "\xEF\xBB\xBF" ? 3 : 0;
  head.line_end = head.text.find('\n') == std::string_view::npos &&
                          head.text.find('\r') != std::string_view::npos
                      ? '\r'
                      : '\n';
  std::string_view rest = head.text.substr(head.skip_bytes);
  while (!rest.empty() && head.lines.size() < most_lines) {
    const std::size_t stop = rest.find(head.line_end);
    if (stop == std::string_view::npos && more) break;  // its end is not in sight
    Line line;
    line.number = head.lines.size() + 1;
    line.text = trimmed(rest.substr(0, stop));
    line.skipped = line.text.empty() || line.text.front() == '#';
    head.lines.push_back(line);
    if (stop == std::string_view::npos) break;
    rest.remove_prefix(stop + 1);
  }
  return head;
}

// Separator and decimal mark -------------------------------------------------------------------

bool same_name(std::string_view a, std::string_view b) {
  return std::equal(a.begin(), a.end(), b.begin(), b.end(), [](char x, char y) {
    const auto lower = [](char c) {
      return c >= 'A' && c <= 'Z' ? static_cast<char>(c - 'A' + 'a') : c;
    };
    return lower(x) == lower(y);
  });
}

/// A heading line may be a comment: "# time_us,light".
std::string_view without_comment_mark(std::string_view line) {
  while (!line.empty() && line.front() == '#') line.remove_prefix(1);
  return trimmed(line);
}

/// Headings separated by blanks may hold blanks before a unit: "time (s)  light (V)".
void join_units(Cells& cells) {
  for (std::size_t i = 1; i < cells.size();) {
    const bool unit = !cells[i].empty() && (cells[i].front() == '(' || cells[i].front() == '[');
    if (!unit) {
      ++i;
      continue;
    }
    const char* const begin = cells[i - 1].data();
    const char* const end = cells[i].data() + cells[i].size();
    cells[i - 1] = std::string_view(begin, static_cast<std::size_t>(end - begin));
    cells.erase(cells.begin() + static_cast<std::ptrdiff_t>(i));
  }
}

Cells heading_cells(std::string_view line, Separator separator) {
  Cells cells;
  split_cells(without_comment_mark(line), separator, cells);
  if (separator == Separator::blank) join_units(cells);
  return cells;
}

std::optional<std::size_t> find_name(const Cells& cells, const std::string& name) {
  for (std::size_t i = 0; i < cells.size(); ++i) {
    if (same_name(cells[i], trimmed(name))) return i;
  }
  return std::nullopt;
}

bool row_of_numbers(const Cells& cells, const Reading& reading) {
  if (reading.time_wish || reading.value_wish) {
    for (const auto& wish : {reading.time_wish, reading.value_wish}) {
      if (wish && (*wish >= cells.size() || !is_number(cells[*wish], reading.decimal)))
        return false;
    }
    return true;
  }
  bool any = false;
  for (const std::string_view cell : cells) {
    if (cell.empty()) continue;
    if (!is_number(cell, reading.decimal)) return false;
    any = true;
  }
  return any;
}

/// Turns the user's columns into indices; false when a name stands in none of the lines.
bool place_wishes(const Head& head, const std::optional<Wish>& time,
                  const std::optional<Wish>& value, Reading& reading) {
  const auto place = [&](const std::optional<Wish>& wish, std::optional<std::size_t>& index) {
    if (!wish) return true;
    index = wish->index;
    for (std::size_t i = 0; i < head.lines.size() && !index; ++i) {
      index = find_name(heading_cells(head.lines[i].text, reading.separator), wish->text);
    }
    return index.has_value();
  };
  return place(time, reading.time_wish) && place(value, reading.value_wish);
}

/// Fills in where the rows of numbers begin and how many there are.
void follow(const Head& head, Reading& reading) {
  Cells cells;
  std::map<std::size_t, std::size_t> rows_of_width;
  for (const Line& line : head.lines) {
    if (line.skipped) continue;
    split_cells(line.text, reading.separator, cells);
    if (row_of_numbers(cells, reading)) ++rows_of_width[cells.size()];
  }
  for (const auto& [width, rows] : rows_of_width) {
    if (rows >= reading.rows) {
      reading.rows = rows;
      reading.columns = width;
    }
  }
  for (std::size_t i = 0; i < head.lines.size(); ++i) {
    if (head.lines[i].skipped) continue;
    split_cells(head.lines[i].text, reading.separator, cells);
    if (cells.size() == reading.columns && row_of_numbers(cells, reading)) {
      reading.first = i;
      return;
    }
  }
}

Reading best_reading(const Head& head, const std::optional<Wish>& time,
                     const std::optional<Wish>& value) {
  Reading best;
  for (const Separator separator :
       {Separator::semicolon, Separator::tab, Separator::comma, Separator::blank}) {
    for (const char decimal : {'.', ','}) {
      Reading reading;
      reading.separator = separator;
      reading.decimal = decimal;
      if (!place_wishes(head, time, value, reading)) continue;
      follow(head, reading);
      if (std::pair(reading.rows, reading.columns) > std::pair(best.rows, best.columns)) {
        best = reading;
      }
    }
  }
  return best;
}

// Headings --------------------------------------------------------------------------------------

struct Headings {
  std::vector<std::string> names;
  std::vector<std::optional<TimeUnit>> units;  ///< from a units row
};

Headings find_headings(const Head& head, const Reading& reading) {
  Headings headings;
  Cells first_row;
  split_cells(head.lines[reading.first].text, reading.separator, first_row);
  const auto numbers_like_the_first_row = [&](const Cells& cells) {
    for (std::size_t i = 0; i < first_row.size(); ++i) {
      if (!is_number(first_row[i], reading.decimal)) continue;
      if (i >= cells.size() || !is_number(cells[i], reading.decimal)) return false;
    }
    return true;
  };
  std::vector<Cells> above;  // the nearest lines before the numbers, nearest first
  for (std::size_t i = reading.first; i-- > 0 && above.size() < 2;) {
    if (head.lines[i].text.empty()) continue;
    Cells cells = heading_cells(head.lines[i].text, reading.separator);
    const bool fits = cells.size() <= reading.columns + 1 && 2 * cells.size() > reading.columns;
    if (fits && !numbers_like_the_first_row(cells)) {
      above.push_back(std::move(cells));
    } else if (!head.lines[i].skipped) {
      break;
    }
  }
  if (above.empty()) return headings;
  const auto all_units = [](const Cells& cells) {
    return std::all_of(cells.begin(), cells.end(),
                       [](std::string_view cell) { return cell.empty() || is_unit(cell); });
  };
  std::size_t names_at = 0;
  if (all_units(above[0]) && above.size() == 2) {
    for (const std::string_view cell : above[0]) headings.units.push_back(read_time_unit(cell));
    names_at = 1;
  }
  for (const std::string_view cell : above[names_at]) headings.names.emplace_back(cell);
  headings.names.resize(std::max(headings.names.size(), reading.columns));
  headings.units.resize(headings.names.size());
  return headings;
}

// When there is no table -----------------------------------------------------------------------

bool looks_like_clock(std::string_view line) {
  for (std::size_t i = 1; i + 2 < line.size(); ++i) {
    const char mark = line[i];
    const bool between = is_digit(line[i - 1]) && is_digit(line[i + 1]) && is_digit(line[i + 2]);
    if (mark == ':' && between) return true;
    const bool date_mark = mark == '-' || mark == '/';
    if (date_mark && between && i + 3 < line.size() && line[i + 3] == mark) return true;
  }
  return false;
}

[[noreturn]] void refuse_binary(const std::string& name, std::string_view text, std::size_t at) {
  std::string first_bytes;
  for (const char c : text.substr(0, 8)) {
    first_bytes += fmt::format("{:02X} ", static_cast<unsigned char>(c));
  }
  first_bytes.pop_back();
  throw InputError(
      fmt::format("{}: this is neither a known sound file nor text: byte {} is 0x{:02X} (the file "
                  "begins {});\nexport the capture as WAV, FLAC or CSV",
                  name, at, static_cast<unsigned char>(text[at]), first_bytes));
}

/// Bytes that no text has: control characters other than white space and escape.
std::size_t find_odd_byte(std::string_view text) {
  const auto odd = std::find_if(text.begin(), text.end(), [](char c) {
    const auto byte = static_cast<unsigned char>(c);
    return (byte < 0x20 && (byte < 0x09 || byte > 0x0D) && byte != 0x1B) || byte == 0x7F;
  });
  return odd == text.end() ? std::string_view::npos : static_cast<std::size_t>(odd - text.begin());
}

[[noreturn]] void refuse_without_table(const std::string& name, const Head& head) {
  if (const std::size_t odd = find_odd_byte(head.text); odd != std::string_view::npos) {
    refuse_binary(name, head.text, odd);
  }
  if (head.lines.empty()) {
    throw InputError(fmt::format(
        "{}: line 1 does not end within 256 KiB, so this is no table of numbers;\nexport one row "
        "per line",
        name));
  }
  const Line* shown = nullptr;
  for (const Line& line : head.lines) {
    if (line.text.empty()) continue;
    if (!shown || shown->skipped) shown = &line;
    if (!line.skipped && looks_like_clock(line.text)) {
      throw InputError(
          fmt::format("{}, line {}: {} gives times of day; lampbeat needs seconds counted from "
                      "anywhere.\nExport elapsed seconds, or choose the reading with --value COL "
                      "and the pace with --rate HZ",
                      name, line.number, quoted(line.text)));
    }
  }
  if (!shown) {
    throw InputError(fmt::format("{}: it holds nothing but blank lines; record it again", name));
  }
  throw InputError(
      fmt::format("{}: no row of numbers found in it; line {} reads {}.\nExport columns of plain "
                  "numbers; if some columns hold words, choose others with --time and --value",
                  name, shown->number, quoted(shown->text)));
}

// Choosing the columns -------------------------------------------------------------------------

std::optional<Wish> wish_from(const std::optional<std::string>& column, const char* option) {
  if (!column) return std::nullopt;
  Wish wish{*column, std::nullopt};
  if (column->empty()) {
    throw UsageError(fmt::format("{} needs the name of a column or its number, from 1", option));
  }
  if (std::all_of(column->begin(), column->end(), is_digit)) {
    const std::size_t number = column->size() > 6 ? 0 : std::stoul(*column);
    if (number == 0) {
      throw UsageError(fmt::format("{} counts columns from 1; {} is none", option, *column));
    }
    wish.index = number - 1;
  }
  return wish;
}

std::string names_for_people(const Headings& headings, std::size_t columns) {
  if (headings.names.empty()) {
    return fmt::format("{} without {}",
                       columns == 1 ? "1 column" : fmt::format("{} columns", columns),
                       columns == 1 ? "a name" : "names");
  }
  std::string list;
  for (const std::string& name : headings.names) {
    if (name.empty()) continue;
    if (list.size() > 200) return list + ", ...";
    list += (list.empty() ? "" : ", ") + quoted(name);
  }
  return "the columns " + list;
}

[[noreturn]] void refuse_wishes(const std::string& name, const Head& head,
                                const std::optional<Wish>& time, const std::optional<Wish>& value) {
  const Reading plain = best_reading(head, std::nullopt, std::nullopt);
  if (plain.rows == 0) refuse_without_table(name, head);
  const Headings headings = find_headings(head, plain);
  const auto exists = [&](const Wish& wish) {
    if (wish.index) return *wish.index < plain.columns;
    return std::any_of(headings.names.begin(), headings.names.end(),
                       [&](const std::string& n) { return same_name(n, wish.text); });
  };
  const Wish& missing = time && !exists(*time) ? *time : value ? *value : *time;
  throw UsageError(fmt::format("{}: there is no column {} with numbers in it; the table has {}",
                               name, missing.index ? missing.text : quoted(missing.text),
                               names_for_people(headings, plain.columns)));
}

/// The cells of the first rows of numbers, for judging columns.
struct Sample {
  std::vector<std::vector<std::string>> rows;
};

Sample sample_rows(const Head& head, const Reading& reading) {
  constexpr std::size_t most_rows = 200;
  Sample sample;
  Cells cells;
  for (std::size_t i = reading.first; i < head.lines.size() && sample.rows.size() < most_rows;
       ++i) {
    if (head.lines[i].skipped) continue;
    split_cells(head.lines[i].text, reading.separator, cells);
    if (cells.size() == reading.columns && row_of_numbers(cells, reading)) {
      sample.rows.emplace_back(cells.begin(), cells.end());
    }
  }
  return sample;
}

/// Gaps are judged later, row by row; a column filled in now and then is another's.
bool column_of_numbers(const Sample& sample, std::size_t column, char decimal) {
  const auto numbers = static_cast<std::size_t>(
      std::count_if(sample.rows.begin(), sample.rows.end(),
                    [&](const auto& row) { return is_number(row[column], decimal); }));
  return numbers > 0 && 2 * numbers >= sample.rows.size();
}

enum class Course { rises, mostly_rises, counts_rows, wanders };

Course course_of(const Sample& sample, std::size_t column, char decimal) {
  std::size_t up = 0;
  std::size_t down = 0;
  std::size_t ones = 0;
  const std::size_t steps = sample.rows.size() - 1;
  for (std::size_t i = 1; i <= steps; ++i) {
    const double step = parse_number(sample.rows[i][column], decimal).value_or(0.0) -
                        parse_number(sample.rows[i - 1][column], decimal).value_or(0.0);
    up += step > 0.0;
    down += step < 0.0;
    ones += step == 1.0;
  }
  if (steps >= 2 && ones == steps) return Course::counts_rows;
  if (up > 0 && down == 0) return Course::rises;
  return 2 * up >= steps && up > 0 ? Course::mostly_rises : Course::wanders;
}

/// Frame numbers and their like: whole numbers that never fall and mostly rise by one and the same
/// step. Light does not do that.
bool only_counts(const Sample& sample, std::size_t column, char decimal) {
  constexpr std::size_t fewest_rows = 8;
  if (sample.rows.size() < fewest_rows) return false;
  std::map<double, std::size_t> steps;
  double last = 0.0;
  for (std::size_t i = 0; i < sample.rows.size(); ++i) {
    const double now = parse_number(sample.rows[i][column], decimal).value_or(0.5);
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
  return rises >= fewest_rows / 2 && 10 * usual >= 8 * rises;
}

double printed_rounding(const Sample& sample, std::size_t column, char decimal) {
  std::size_t most_decimals = 0;
  for (const auto& row : sample.rows) {
    const std::string& cell = row[column];
    if (cell.find_first_of("eE") != std::string::npos) return 0.0;
    const std::size_t mark = cell.find(decimal);
    if (mark != std::string::npos) most_decimals = std::max(most_decimals, cell.size() - mark - 1);
  }
  double rounding = 1.0;
  for (std::size_t i = 0; i < most_decimals; ++i) rounding /= 10.0;
  return rounding;
}

/// Commas that could also part thousands: every one has three digits behind it, none leads with 0.
bool commas_may_be_thousands(const Sample& sample) {
  bool any = false;
  for (const auto& row : sample.rows) {
    for (const std::string& cell : row) {
      const std::size_t comma = cell.find(',');
      if (comma == std::string::npos) continue;
      any = true;
      const std::size_t first = cell.find_first_of("0123456789");
      const bool grouped = cell.size() == comma + 4 && cell[first] != '0' && comma - first <= 3;
      if (!grouped) return false;
    }
  }
  return any;
}

/// A comma between two whole numbers on every line, under a heading of one word: decimals.
bool one_column_of_decimal_commas(const Head& head, const Reading& reading, const Sample& sample) {
  if (reading.separator != Separator::comma || reading.columns != 2 || reading.first == 0) {
    return false;
  }
  const std::string_view heading = head.lines[reading.first - 1].text;
  if (heading.empty() || heading.find(',') != std::string_view::npos) return false;
  return std::all_of(sample.rows.begin(), sample.rows.end(), [](const auto& row) {
    return !row[1].empty() && std::all_of(row[1].begin(), row[1].end(), is_digit) &&
           row[0].find('.') == std::string::npos;
  });
}

std::string capitalised(std::string words) {
  if (!words.empty() && words[0] >= 'a' && words[0] <= 'z') {
    words[0] = static_cast<char>(words[0] - 'a' + 'A');
  }
  return words;
}

}  // namespace

std::string column_words(const TableLayout& layout, std::size_t index) {
  if (index < layout.names.size() && !layout.names[index].empty()) {
    return fmt::format("column {} ({})", index + 1, quoted(layout.names[index]));
  }
  return fmt::format("column {}", index + 1);
}

TableLayout find_table_layout(files::ByteSource& source, const CaptureOptions& options) {
  const std::string& file = source.name();
  if (options.channel && *options.channel != 1) {
    throw UsageError(fmt::format(
        "{}: a text table has columns, not channels; choose one with --value instead of --channel",
        file));
  }
  const std::optional<Wish> time_wish = wish_from(options.time_column, "--time");
  const std::optional<Wish> value_wish = wish_from(options.value_column, "--value");

  const Head head = look_at_head(source);
  Reading reading = best_reading(head, time_wish, value_wish);
  if (reading.rows == 0) {
    if (time_wish || value_wish) refuse_wishes(file, head, time_wish, value_wish);
    refuse_without_table(file, head);
  }
  Sample sample = sample_rows(head, reading);
  if (one_column_of_decimal_commas(head, reading, sample)) {
    reading.separator = Separator::semicolon;
    reading.decimal = ',';
    reading.rows = 0;
    follow(head, reading);
    sample = sample_rows(head, reading);
  }
  const std::size_t data_begin =
      static_cast<std::size_t>(head.lines[reading.first].text.data() - head.text.data());
  if (const std::size_t odd = find_odd_byte(head.text.substr(0, data_begin));
      odd != std::string_view::npos) {
    refuse_binary(file, head.text, odd);
  }

  const Headings headings = find_headings(head, reading);
  const auto heading_of = [&](std::size_t column) {
    return column < headings.names.size() ? std::string_view(headings.names[column])
                                          : std::string_view();
  };
  TableLayout layout;
  layout.line_end = head.line_end;
  layout.skip_bytes = head.skip_bytes;
  layout.separator = reading.separator;
  layout.decimal = reading.decimal;
  layout.columns = reading.columns;
  layout.names = headings.names;
  for (const auto& row : sample.rows) {
    for (const std::string& cell : row) {
      layout.decimal_seen |= cell.find(reading.decimal) != std::string::npos;
    }
  }

  if (reading.first > 0 && reading.separator == Separator::comma) {
    const Cells above = heading_cells(head.lines[reading.first - 1].text, Separator::comma);
    if (above.size() >= 2 && 2 * above.size() == reading.columns) {
      throw InputError(fmt::format(
          "{}, line {}: {} headings stand over {} columns; with decimal commas in a "
          "comma-separated table\nthe numbers cannot be told apart. Export with semicolons or "
          "decimal points",
          file, head.lines[reading.first].number, above.size(), reading.columns));
    }
  }
  const bool wide_separator =
      reading.separator == Separator::tab || reading.separator == Separator::blank;
  if (wide_separator && reading.decimal == ',' && commas_may_be_thousands(sample)) {
    throw InputError(fmt::format(
        "{}, line {}: the commas in {} could mark decimals or thousands;\nexport with "
        "decimal points, or with semicolons between the columns",
        file, head.lines[reading.first].number, quoted(head.lines[reading.first].text)));
  }

  std::vector<std::size_t> numeric;
  for (std::size_t i = 0; i < reading.columns; ++i) {
    if (column_of_numbers(sample, i, reading.decimal)) numeric.push_back(i);
  }

  // The time column: the user's word, else the headings', else a first column that rises.
  std::optional<std::size_t> row_number;
  if (reading.time_wish) {
    layout.time_column = reading.time_wish;
  } else {
    for (const std::size_t column : numeric) {
      const bool unit_row = column < headings.units.size() && headings.units[column];
      const bool taken = reading.value_wish && *reading.value_wish == column;
      if (!taken && !layout.time_column &&
          (unit_row || read_time_heading(heading_of(column)).names_time)) {
        layout.time_column = column;
      }
    }
    const bool free_first =
        numeric.size() >= 2 && !(reading.value_wish && *reading.value_wish == numeric.front());
    if (!layout.time_column && headings.names.empty() && free_first) {
      switch (course_of(sample, numeric.front(), reading.decimal)) {
        case Course::counts_rows:
          row_number = numeric.front();
          break;
        case Course::rises:
          layout.time_column = numeric.front();
          break;
        case Course::mostly_rises:
          if (!options.rate_hz) layout.time_column = numeric.front();
          break;
        case Course::wanders:
          break;
      }
    }
  }
  for (const std::size_t column : numeric) {
    if (!row_number && column != layout.time_column && names_row_number(heading_of(column))) {
      row_number = column;
    }
  }

  // The value column.
  std::vector<std::size_t> candidates;
  for (const std::size_t column : numeric) {
    if (column != layout.time_column && column != row_number) candidates.push_back(column);
  }
  if (candidates.empty() && row_number && !layout.time_column) candidates.push_back(*row_number);
  std::vector<std::size_t> counting;
  for (const std::size_t column : candidates) {
    if (only_counts(sample, column, reading.decimal)) counting.push_back(column);
  }
  if (counting.size() < candidates.size()) {
    for (const std::size_t column : counting) std::erase(candidates, column);
  } else {
    counting.clear();
  }
  if (reading.value_wish) {
    layout.value_column = *reading.value_wish;
  } else if (candidates.empty()) {
    throw InputError(fmt::format(
        "{}: it has a column of times but none of readings beside it; export the sensor's column "
        "too,\nor choose one with --value",
        file));
  } else {
    layout.value_column = candidates.front();
  }
  if (layout.time_column == layout.value_column) {
    throw UsageError(fmt::format("{}: --time and --value name the same {}", file,
                                 column_words(layout, layout.value_column)));
  }

  // Some scope tables write their settings beside the first readings: such rows are readings too.
  Cells cells;
  while (reading.first > 0) {
    const Line& line = head.lines[reading.first - 1];
    split_cells(line.text, reading.separator, cells);
    const auto holds = [&](std::size_t column) {
      return column < cells.size() && is_number(cells[column], reading.decimal);
    };
    const bool as_wide = cells.size() == reading.columns && !line.skipped;
    if (!as_wide || !holds(layout.value_column) ||
        (layout.time_column && !holds(*layout.time_column))) {
      break;
    }
    --reading.first;
  }
  layout.first_data_line = head.lines[reading.first].number;

  if (!layout.time_column && !options.rate_hz) {
    if (row_number) {
      throw UsageError(fmt::format(
          "{}: {} counts rows, which is no time; add --rate HZ (samples per second),\nor --time {} "
          "if it does count seconds",
          file, column_words(layout, *row_number), *row_number + 1));
    }
    throw UsageError(
        fmt::format("{}: it has {}, and none is a time; add --rate HZ (samples per second){}", file,
                    names_for_people(headings, reading.columns),
                    numeric.size() > 1 ? ", or choose the time with --time COL" : ""));
  }
  if (layout.time_column) {
    const std::size_t column = *layout.time_column;
    const bool unit_row = column < headings.units.size() && headings.units[column];
    std::optional<TimeUnit> unit =
        unit_row ? headings.units[column] : read_time_heading(heading_of(column)).unit;
    layout.time_rounding = printed_rounding(sample, column, reading.decimal);
    if (!unit && sample.rows.size() > 2) {
      const auto time_of = [&](const std::vector<std::string>& row) {
        return parse_number(row[column], reading.decimal).value_or(0.0);
      };
      const double span = time_of(sample.rows.back()) - time_of(sample.rows.front());
      const double step = span / static_cast<double>(sample.rows.size() - 1);
      constexpr double slowest_step_s = 0.1;
      if (step >= slowest_step_s) {
        layout.findings.push_back(
            {"time_unit_assumed",
             fmt::format("The times in {} state no unit and were taken as seconds, which makes "
                         "only {:.3g} samples per second. If they count milliseconds or "
                         "microseconds, name the column time_ms or time_us in a heading line.",
                         column_words(layout, column), 1.0 / step)});
      }
    }
    layout.unit = unit.value_or(TimeUnit{});
    if (options.rate_hz) {
      layout.findings.push_back(
          {"rate_ignored",
           fmt::format("The times in {} were used, not the rate {:g} given beside them.",
                       column_words(layout, column), *options.rate_hz)});
    }
  }
  if (!reading.value_wish && !counting.empty()) {
    layout.findings.push_back(
        {"column_assumed",
         fmt::format("{} only counts rows and was left out; {} was taken for the sensor's. Choose "
                     "another with --value.",
                     capitalised(column_words(layout, counting.front())),
                     column_words(layout, layout.value_column))});
  } else if (!reading.value_wish && candidates.size() > 1) {
    layout.findings.push_back(
        {"column_assumed",
         fmt::format("{} columns could be the sensor's; {} was used. Choose another with --value.",
                     candidates.size(), column_words(layout, layout.value_column))});
  }
  return layout;
}

}  // namespace lampbeat
