#include "capture/table/text_table.hpp"

#include <algorithm>
#include <cmath>
#include <cstring>
#include <utility>

#include <fmt/format.h>

#include "capture/clock/printed_precision.hpp"
#include "capture/clock/row_clock.hpp"
#include "capture/clock/time_checks.hpp"
#include "capture/table/cell_number.hpp"
#include "capture/table/cells.hpp"
#include "capture/table/line_reader.hpp"
#include "capture/table/table_layout.hpp"
#include "capture/wanted_part.hpp"
#include "lampbeat/error.hpp"
#include "words/quoting.hpp"

namespace lampbeat {
namespace {

/// Borders of the wanted part are met by times equal to them up to rounding.
constexpr double border_tolerance_s = 1e-9;

class TextTableSource final : public CaptureSource {
 public:
  TextTableSource(files::ByteSource bytes, TableLayout layout, const CaptureOptions& options);

  const CaptureFormat& format() const override { return format_; }
  const Findings& findings() const override { return findings_; }
  SampleClock clock() const override { return clock_.clock(); }
  SampleBlock next() override;

 private:
  struct Row {
    double time = 0.0;
    std::string_view time_text;
    double value = 0.0;
  };

  bool read_row(Row& row);
  bool read_plainly(std::string_view line, Row& row) const;
  void read_carefully(std::string_view line, Row& row);
  std::string or_keep_the_rows_before() const;
  double read_cell(const std::vector<std::string_view>& cells, std::size_t column);
  bool take_row();
  void finish();
  void refuse_coarse_times() const;
  std::string place() const {
    return fmt::format("{}, line {}", format_.name, lines_.line_number());
  }

  TableLayout layout_;
  WantedPart part_;
  double end_s_;
  CaptureFormat format_;
  LineReader lines_;
  TimeChecks times_;
  PrintedPrecision precision_;
  RowClock clock_;
  Findings findings_;
  std::string_view line_;
  std::vector<std::string_view> cells_;
  std::vector<double> value_;  ///< those delivered last, then those whose times are not settled
  std::size_t handed_over_ = 0;
  std::uint64_t rows_ = 0;       ///< read so far
  std::uint64_t delivered_ = 0;  ///< of the wanted part
  double first_delivered_s_ = 0.0;
  double last_s_ = 0.0;
  bool cut_short_ = false;  ///< the wanted part ended before the table
  bool finished_ = false;
};

std::string kind_of(const TableLayout& layout) {
  std::string kind = layout.columns == 1 ? std::string("text table, one column")
                                         : fmt::format("text table, {}-separated",
                                                       separator_name(layout.separator));
  if (layout.decimal == ',') kind += ", decimal comma";
  if (layout.time_column) kind += fmt::format(", times in {}", layout.unit.name);
  return kind;
}

TextTableSource::TextTableSource(files::ByteSource bytes, TableLayout layout,
                                 const CaptureOptions& options)
    : layout_(std::move(layout)),
      part_(wanted_part(options)),
      end_s_(part_.end_s().value_or(HUGE_VAL)),
      lines_(std::move(bytes), layout_.line_end, layout_.skip_bytes),
      times_(lines_.source().name(), layout_.unit, layout_.time_rounding, part_.from_s),
      findings_(layout_.findings) {
  format_.name = lines_.source().name();
  format_.kind = kind_of(layout_);
  format_.evenly_sampled = !layout_.time_column;
  if (!layout_.time_column) format_.rate_hz = options.rate_hz;
  std::string_view line;
  while (lines_.line_number() + 1 < layout_.first_data_line && lines_.next(line)) {
  }
}

bool TextTableSource::read_row(Row& row) {
  while (lines_.next(line_)) {
    if (read_plainly(line_, row)) return true;
    const std::string_view text = trimmed(line_);
    if (text.empty() || text.front() == '#') continue;
    const char separator = static_cast<char>(layout_.separator);
    if (text.find_first_not_of(separator) == std::string_view::npos) continue;
    read_carefully(line_, row);
    return true;
  }
  return false;
}

/// The quick way for rows without oddities; false sends the row the careful way.
bool TextTableSource::read_plainly(std::string_view line, Row& row) const {
  const char separator = static_cast<char>(layout_.separator);
  const std::size_t last_wanted = std::max(layout_.value_column, layout_.time_column.value_or(0));
  const char* p = line.data();
  const char* const end = p + line.size();
  const auto skip_blanks = [&] {
    while (p != end && (*p == ' ' || (*p == '\t' && separator != '\t'))) ++p;
  };
  for (std::size_t column = 0;; ++column) {
    skip_blanks();
    if (column == layout_.value_column || column == layout_.time_column) {
      double& number = column == layout_.value_column ? row.value : row.time;
      const char* const begin = p;
      p = read_cell_number(p, end, layout_.decimal, number);
      if (!p) return false;
      if (column == layout_.time_column) {
        row.time_text = {begin, static_cast<std::size_t>(p - begin)};
      }
    } else if (p != end && *p == '"') {
      return false;
    } else {
      while (p != end && *p != separator && *p != '\t') ++p;
    }
    if (column == last_wanted) break;
    const char* const stop = p;
    skip_blanks();
    if (separator == ' ' ? p == stop : p == end || *p++ != separator) return false;
  }
  skip_blanks();
  return p == end ||
         (layout_.columns > last_wanted + 1 && *p == separator &&
          static_cast<std::size_t>(std::count(p, end, separator)) < layout_.columns - last_wanted);
}

void TextTableSource::read_carefully(std::string_view line, Row& row) {
  if (const std::size_t nul = line.find('\0'); nul != std::string_view::npos) {
    throw InputError(fmt::format(
        "{}: binary data begins at byte {} of the file; the recorder probably lost power.\n"
        "Delete everything from this line on{}",
        place(), lines_.line_offset() + nul, or_keep_the_rows_before()));
  }
  split_cells(line, layout_.separator, cells_);
  const std::size_t last_wanted = std::max(layout_.value_column, layout_.time_column.value_or(0));
  while (cells_.size() > layout_.columns && cells_.back().empty()) cells_.pop_back();
  if (cells_.size() <= last_wanted) {
    if (lines_.unterminated()) {
      throw InputError(fmt::format(
          "{}: the file breaks off in the middle of this row ({});\ncopy it again from the "
          "recorder, or delete the row{}",
          place(), quoted(line), or_keep_the_rows_before()));
    }
  }
  if (layout_.time_column) {
    row.time = read_cell(cells_, *layout_.time_column);
    row.time_text = cells_[*layout_.time_column];
  }
  row.value = read_cell(cells_, layout_.value_column);
  if (cells_.size() > layout_.columns) {
    throw InputError(fmt::format(
        "{}: this row has {} cells where the others have {} ({});\nprobably two rows ran together. "
        "Correct or delete it",
        place(), cells_.size(), layout_.columns, quoted(line)));
  }
}

double TextTableSource::read_cell(const std::vector<std::string_view>& cells, std::size_t column) {
  const std::string_view cell = column < cells.size() ? cells[column] : std::string_view();
  std::optional<double> number = parse_number(cell, layout_.decimal);
  if (!number && !layout_.decimal_seen && layout_.decimal == '.') {
    number = parse_number(cell, ',');
    if (number) layout_.decimal = ',';
  }
  if (number && std::isfinite(*number)) return *number;
  const std::string where = fmt::format("{}, {}", place(), column_words(layout_, column));
  if (cell.empty()) {
    throw InputError(
        fmt::format("{}: the cell is missing or empty;\nfill it in or delete the row{}", where,
                    or_keep_the_rows_before()));
  }
  throw InputError(fmt::format("{}: {} is not a {};\ncorrect or delete this row{}", where,
                               quoted(cell), number ? "finite number" : "number",
                               or_keep_the_rows_before()));
}

/// A remedy that leaves the file alone; empty when too little comes before this line.
std::string TextTableSource::or_keep_the_rows_before() const {
  const double kept_s = last_s_ - part_.from_s;
  if (rows_ < 2 || kept_s <= 0.0) return "";
  return fmt::format(", or keep the rows before it with --for {:.9g}", kept_s);
}

SampleBlock TextTableSource::next() {
  value_.erase(value_.begin(), value_.begin() + static_cast<std::ptrdiff_t>(handed_over_));
  clock_.drop_settled();
  // A live pipe hands over what it has sooner than a file.
  const std::size_t block = lines_.source().seekable() ? 8192 : 512;
  const auto settled = [&] {
    return layout_.time_column ? clock_.settled().size() : value_.size();
  };
  while (!finished_ && settled() < block) {
    if (!take_row()) finish();
  }
  handed_over_ = settled();
  return {std::span<const double>(value_).first(handed_over_), clock_.settled(),
          clock_.clock().time_bound_s};
}

/// Reads the next row of the wanted part; false at its end.
bool TextTableSource::take_row() {
  Row row;
  while (read_row(row)) {
    const double now_s = layout_.time_column
                             ? times_.accept(row.time, lines_.line_number(), delivered_ > 0)
                             : static_cast<double>(rows_) / *format_.rate_hz;
    ++rows_;
    if (layout_.time_column) precision_.see(row.time_text, layout_.decimal);
    if (now_s < part_.from_s - border_tolerance_s) {
      last_s_ = now_s;
      continue;
    }
    if (now_s >= end_s_ - border_tolerance_s) {
      cut_short_ = true;
      return false;
    }
    last_s_ = now_s;
    if (delivered_++ == 0) first_delivered_s_ = now_s;
    value_.push_back(row.value);
    if (layout_.time_column) {
      // A large number keeps its last digit no better than a double can.
      const double digit = precision_.at(row.time) + 1e-15 * std::abs(row.time);
      clock_.push(
          {now_s - first_delivered_s_, digit / layout_.unit.per_second, lines_.line_number()});
    }
    return true;
  }
  return false;
}

void TextTableSource::finish() {
  finished_ = true;
  if (delivered_ < 2) {
    if (!cut_short_ && part_.from_s > last_s_ + border_tolerance_s) {
      throw InputError(
          fmt::format("{}: it ends after {:g} s, before the part that was asked for begins at {:g} "
                      "s; choose a smaller --from",
                      format_.name, last_s_, part_.from_s));
    }
    throw InputError(fmt::format(
        "{}: {} one row of numbers{}, too few to measure anything; {}", format_.name,
        delivered_ == 0 ? "not" : "only",
        cut_short_ || part_.from_s > 0.0
            ? " lies in the part that was asked for"
            : fmt::format(" is in it (line {})", layout_.first_data_line),
        cut_short_ || part_.from_s > 0.0 ? "choose a longer one" : "record a second or more"));
  }
  if (!layout_.time_column) return;
  if (last_s_ == first_delivered_s_) {
    throw InputError(fmt::format(
        "{}: all {} rows have the same time in {};\nexport times with more digits, or add "
        "--rate HZ and --value COL",
        format_.name, delivered_, column_words(layout_, *layout_.time_column)));
  }
  clock_.finish();
  if (clock_.too_coarse()) refuse_coarse_times();
  for (const Findings& noticed : {times_.finish(clock_.rebuilt()), clock_.findings()}) {
    findings_.insert(findings_.end(), noticed.begin(), noticed.end());
  }
}

void TextTableSource::refuse_coarse_times() const {
  throw InputError(fmt::format(
      "{}: its {} rows bear only {} different times in {}, too few to know how fast\nthe samples "
      "follow each other; export times with more digits, record longer, or add --rate HZ and\n"
      "--value COL",
      format_.name, delivered_, clock_.tick_count(), column_words(layout_, *layout_.time_column)));
}

}  // namespace

std::unique_ptr<CaptureSource> open_text_table(files::ByteSource bytes,
                                               const CaptureOptions& options) {
  wanted_part(options);
  TableLayout layout = find_table_layout(bytes, options);
  return std::make_unique<TextTableSource>(std::move(bytes), std::move(layout), options);
}

}  // namespace lampbeat
