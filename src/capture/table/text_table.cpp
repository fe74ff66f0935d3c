#include "capture/table/text_table.hpp"

#include <cmath>
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
#include "capture/table/table_layout.hpp"
#include "capture/wanted_part.hpp"
#include "lampbeat/error.hpp"

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
  format.evenly_sampled = !rows.layout().time_column;
  if (format.evenly_sampled) format.rate_hz = options.rate_hz;
  return format;
}

class TextTableSource final : public CaptureSource {
 public:
  TextTableSource(files::ByteSource bytes, TableLayout layout, const CaptureOptions& options)
      : part_(wanted_part(options)),
        end_s_(part_.end_s().value_or(HUGE_VAL)),
        rows_(std::move(bytes), std::move(layout)),
        times_(rows_.source().name(), rows_.layout().unit, rows_.layout().time_rounding,
               part_.from_s),
        format_(format_of(rows_, options)),
        findings_(rows_.layout().findings) {}

  const CaptureFormat& format() const override { return format_; }
  const Findings& findings() const override { return findings_; }
  SampleClock clock() const override { return clock_.clock(); }
  SampleBlock next() override;

 private:
  bool has_times() const { return rows_.layout().time_column.has_value(); }
  std::size_t settled() const { return has_times() ? clock_.settled().size() : value_.size(); }
  bool take_row();
  double time_of(const Row& row);
  void deliver(const Row& row, double now_s);
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
  clock::TimeChecks times_;
  clock::PrintedPrecision precision_;
  clock::RowClock clock_;
  CaptureFormat format_;
  Findings findings_;
  std::vector<double> value_;  ///< those delivered last, then those whose times are not settled
  std::size_t handed_over_ = 0;
  std::uint64_t rows_read_ = 0;
  std::uint64_t delivered_ = 0;  ///< of the wanted part
  double first_delivered_s_ = 0.0;
  double last_s_ = 0.0;
  bool cut_short_ = false;  ///< the wanted part ended before the table
  bool finished_ = false;
};

SampleBlock TextTableSource::next() {
  value_.erase(value_.begin(), value_.begin() + static_cast<std::ptrdiff_t>(handed_over_));
  clock_.drop_settled();
  // A live pipe hands over what it has sooner than a file.
  const std::size_t block = rows_.source().seekable() ? 8192 : 512;
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
  while (rows_.next(row, last_s_ - part_.from_s)) {
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
  if (!has_times()) return static_cast<double>(rows_read_) / *format_.rate_hz;
  precision_.see(row.time_text, rows_.layout().decimal);
  return times_.accept(row.time, rows_.line_number(), delivered_ > 0);
}

void TextTableSource::deliver(const Row& row, double now_s) {
  if (delivered_++ == 0) first_delivered_s_ = now_s;
  value_.push_back(row.value);
  if (!has_times()) return;
  const double digit = precision_.at(row.time) + double_rounding * std::abs(row.time);
  clock_.push(
      {now_s - first_delivered_s_, digit / rows_.layout().unit.per_second, rows_.line_number()});
}

void TextTableSource::finish() {
  finished_ = true;
  if (delivered_ < 2) refuse_too_few();
  if (!has_times()) return;
  refuse_unmoving_times();
  clock_.finish();
  refuse_coarse_times();
  for (const Findings& noticed : {times_.finish(clock_.rebuilt()), clock_.findings()}) {
    findings_.insert(findings_.end(), noticed.begin(), noticed.end());
  }
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
