#include "capture/table/text_table.hpp"

#include <cmath>
#include <functional>
#include <span>
#include <utility>
#include <vector>

#include <fmt/format.h>

#include "capture/clock/printed_precision.hpp"
#include "capture/clock/recorder_clock.hpp"
#include "capture/clock/row_clock.hpp"
#include "capture/clock/time_checks.hpp"
#include "capture/table/headings.hpp"
#include "capture/table/row_reader.hpp"
#include "capture/table/rows_in_order.hpp"
#include "capture/table/table_layout.hpp"
#include "capture/wanted_part.hpp"
#include "lampbeat/error.hpp"
#include "words/numbers.hpp"

namespace lampbeat::capture::table {
namespace {

/// Borders of the wanted part are met by times equal to them up to rounding.
constexpr double border_tolerance_s = 1e-9;

/// A large number keeps its last digit no better than a double can, which holds 15 digits and more.
constexpr double double_rounding = 1e-15;

std::string kind_of(const TableLayout& layout) {
  std::string kind = layout.columns == 1 ? std::string("text table, one column")
                                         : fmt::format("text table, {}-separated",
                                                       separator_name(layout.separator));
  if (layout.decimal == ',') kind += ", decimal comma";
  if (layout.time_column) kind += fmt::format(", times in {}", layout.unit.name);
  if (!layout.time_column && layout.stated) {
    kind += fmt::format(", {} samples a second by its own word",
                        words::in_digits_at_most(1.0 / layout.stated->interval_s, 6));
  }
  return kind;
}

/// Whole milliseconds or microseconds are counted by a microcontroller.
double clock_ppm_of(const TableLayout& layout) {
  const bool counted =
      layout.time_column && layout.time_rounding >= 1.0 && layout.unit.per_second > 1.0;
  return counted ? clock::resonator_ppm : clock::instrument_ppm;
}

CaptureFormat format_of(const RowReader& rows, const CaptureOptions& options) {
  CaptureFormat format;
  format.name = rows.source().name();
  format.kind = kind_of(rows.layout());
  format.clock_ppm = options.clock_ppm.value_or(clock_ppm_of(rows.layout()));
  // Where rows may be left out, those that stay need times.
  format.evenly_sampled = !rows.layout().time_column && !options.skip_bad_rows;
  if (rows.layout().time_column) return format;
  format.rate_hz = options.rate_hz;
  if (!format.rate_hz) {
    const clock::StatedInterval& stated = *rows.layout().stated;
    format.rate_hz = 1.0 / stated.interval_s;
    constexpr double million = 1e6;
    if (!options.clock_ppm) format.clock_ppm += million * stated.tolerance;
  }
  return format;
}

class TextTableSource final : public CaptureSource {
 public:
  TextTableSource(files::ByteSource bytes, TableLayout layout, const CaptureOptions& options)
      : part_(wanted_part(options)),
        end_s_(part_.end_s().value_or(HUGE_VAL)),
        rows_(std::move(bytes), std::move(layout), options.skip_bad_rows),
        in_order_(rows_),
        leaves_out_(options.skip_bad_rows),
        hear_(options.live ? options.live->hear : nullptr),
        times_(rows_.source().name(), rows_.layout().unit, rows_.layout().time_rounding,
               part_.from_s),
        clock_(rows_.layout().stated),
        format_(format_of(rows_, options)),
        findings_(rows_.layout().findings) {}

  const CaptureFormat& format() const override { return format_; }
  const Findings& findings() const override { return findings_; }
  SampleClock clock() const override { return clock_.clock(); }
  SampleBlock next() override;

 private:
  bool has_times() const { return rows_.layout().time_column.has_value(); }
  std::size_t settled() const { return has_times() ? clock_.settled().size() : value_.size(); }
  bool next_row(Row& row, double kept_s);
  bool take_row();
  double time_of(const Row& row);
  void deliver(const Row& row, double now_s);
  void keep_even_time(const Row& row, double since_first_s);
  void note_left_out();
  void finish();
  [[noreturn]] void refuse_too_few() const;
  void refuse_unmoving_times() const;
  void refuse_coarse_times() const;
  std::string time_column_words() const {
    return column_words(rows_.layout().names, *rows_.layout().time_column);
  }

  WantedPart part_;
  double end_s_;
  RowReader rows_;
  RowsInOrder in_order_;
  bool leaves_out_;
  std::function<void(const SampleBlock&)> hear_;
  clock::TimeChecks times_;
  clock::PrintedPrecision precision_;
  clock::RowClock clock_;
  CaptureFormat format_;
  Findings findings_;
  std::vector<double> value_;  ///< those delivered last, then those whose times are not settled
  std::vector<double>
      even_s_;  ///< their times, where there are none in the table and rows may lack
  std::size_t handed_over_ = 0;
  clock::MissingRows missing_;  ///< of a table without times
  std::uint64_t left_out_before_ = 0;
  std::uint64_t rows_read_ = 0;
  std::uint64_t delivered_ = 0;  ///< of the wanted part
  double first_delivered_s_ = 0.0;
  double last_s_ = 0.0;
  bool cut_short_ = false;  ///< the wanted part ended before the table
  bool finished_ = false;
};

SampleBlock TextTableSource::next() {
  value_.erase(value_.begin(), value_.begin() + static_cast<std::ptrdiff_t>(handed_over_));
  if (leaves_out_ && !has_times()) {
    even_s_.erase(even_s_.begin(), even_s_.begin() + static_cast<std::ptrdiff_t>(handed_over_));
  }
  clock_.drop_settled();
  // A live pipe hands over what it has sooner than a file.
  const std::size_t block = rows_.source().seekable() ? 8192 : 512;
  while (!finished_ && settled() < block) {
    if (!take_row()) finish();
  }
  handed_over_ = settled();
  if (!has_times()) {
    const auto even_s = std::span<const double>(even_s_).first(leaves_out_ ? handed_over_ : 0);
    return {std::span<const double>(value_).first(handed_over_), even_s};
  }
  return {std::span<const double>(value_).first(handed_over_), clock_.settled(),
          clock_.clock().time_bound_s};
}

bool TextTableSource::next_row(Row& row, double kept_s) {
  return leaves_out_ && has_times() ? in_order_.next(row, kept_s) : rows_.next(row, kept_s);
}

/// Reads the next row of the wanted part; false at its end.
bool TextTableSource::take_row() {
  Row row;
  while (next_row(row, last_s_ - part_.from_s)) {
    const double now_s = time_of(row);
    ++rows_read_;
    if (now_s >= end_s_ - border_tolerance_s) {
      cut_short_ = true;
      return false;
    }
    last_s_ = now_s;
    if (now_s < part_.from_s - border_tolerance_s) continue;
    deliver(row, now_s);
    return true;
  }
  return false;
}

/// Seconds since the first row.
double TextTableSource::time_of(const Row& row) {
  if (!has_times()) return static_cast<double>(rows_read_ + row.left_out) / *format_.rate_hz;
  precision_.see(row.time_text, rows_.layout().decimal);
  return times_.accept(row.time, row.line, delivered_ > 0);
}

void TextTableSource::deliver(const Row& row, double now_s) {
  if (delivered_++ == 0) first_delivered_s_ = now_s;
  value_.push_back(row.value);
  const double since_first_s = now_s - first_delivered_s_;
  if (!has_times() && leaves_out_) keep_even_time(row, since_first_s);
  if (hear_) {
    const std::span<const double> time_s(&since_first_s, format_.evenly_sampled ? 0 : 1);
    hear_({std::span<const double>(&row.value, 1), time_s});
  }
  if (!has_times()) return;
  const double digit = precision_.at(row.time) + double_rounding * std::abs(row.time);
  clock_.push({since_first_s, digit / rows_.layout().unit.per_second, row.line});
}

/// A row of a table without times, at its place among those that were left out.
void TextTableSource::keep_even_time(const Row& row, double since_first_s) {
  if (!even_s_.empty() && row.left_out > left_out_before_) {
    const double from_s = even_s_.back();
    missing_.usual_step_s = 1.0 / *format_.rate_hz;
    missing_.rows += static_cast<double>(row.left_out - left_out_before_);
    ++missing_.gaps;
    if (since_first_s - from_s > missing_.longest_s) {
      missing_.longest_s = since_first_s - from_s;
      missing_.longest_from_s = from_s;
      missing_.longest_line = row.line;
    }
  }
  left_out_before_ = row.left_out;
  even_s_.push_back(since_first_s);
}

void TextTableSource::finish() {
  finished_ = true;
  rows_.left_out().refuse_too_many(format_.name, rows_.rows_read());
  if (delivered_ < 2) refuse_too_few();
  note_left_out();
  if (!has_times()) return;
  refuse_unmoving_times();
  clock_.finish();
  refuse_coarse_times();
  for (const Findings& noticed : {times_.finish(clock_.rebuilt()), clock_.findings()}) {
    findings_.insert(findings_.end(), noticed.begin(), noticed.end());
  }
}

void TextTableSource::note_left_out() {
  const BlankRows& blank = rows_.blank_rows();
  if (blank.before + blank.after > 0) findings_.push_back(blank_rows_left_out(blank));
  if (rows_.left_out().any()) {
    findings_.push_back(rows_.left_out().finding(rows_.rows_read()));
  }
  if (missing_.gaps > 0) findings_.push_back(clock::missing_samples(missing_));
}

void TextTableSource::refuse_too_few() const {
  if (!cut_short_ && part_.from_s > last_s_ + border_tolerance_s) {
    throw InputError(
        fmt::format("{}: it ends after {:g} s, before the part that was asked for begins at {:g} "
                    "s; choose a smaller --from",
                    format_.name, last_s_, part_.from_s));
  }
  const bool part_was_asked_for = cut_short_ || part_.from_s > 0.0;
  throw InputError(fmt::format(
      "{}: {} one row of numbers{}, too few to measure anything; {}", format_.name,
      delivered_ == 0 ? "not" : "only",
      part_was_asked_for ? " lies in the part that was asked for"
                         : fmt::format(" is in it (line {})", rows_.layout().first_data_line),
      part_was_asked_for ? "choose a longer one" : "record a second or more"));
}

void TextTableSource::refuse_unmoving_times() const {
  if (last_s_ != first_delivered_s_) return;
  throw InputError(fmt::format(
      "{}: all {} rows have the same time in {};\nexport times with more digits, or add "
      "--rate HZ and --value COL",
      format_.name, delivered_, time_column_words()));
}

void TextTableSource::refuse_coarse_times() const {
  if (!clock_.too_coarse()) return;
  throw InputError(fmt::format(
      "{}: its {} rows bear only {} different times in {}, too few to know how fast\nthe samples "
      "follow each other; export times with more digits, record longer, or add --rate HZ and\n"
      "--value COL",
      format_.name, delivered_, clock_.tick_count(), time_column_words()));
}

}  // namespace

std::unique_ptr<CaptureSource> open_text_table(files::ByteSource bytes,
                                               const CaptureOptions& options) {
  wanted_part(options);  // what is wrong with the options comes before what is wrong with the file
  TableLayout layout = find_table_layout(bytes, options);
  return std::make_unique<TextTableSource>(std::move(bytes), std::move(layout), options);
}

}  // namespace lampbeat::capture::table
