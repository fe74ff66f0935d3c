#include "capture/table/bad_rows.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include "lampbeat/error.hpp"
#include "words/numbers.hpp"

namespace lampbeat::capture::table {
namespace {

constexpr std::size_t lines_named = 5;
constexpr std::uint64_t one_in = 100;

const char* rows_word(std::uint64_t count) { return count == 1 ? "row" : "rows"; }

}  // namespace

void BadRows::add(std::uint64_t line, const std::string& reason) {
  if (count_++ == 0) {
    first_reason_ = reason.substr(0, reason.find('\n'));
    if (first_reason_.ends_with(';')) first_reason_.pop_back();
  }
  if (first_lines_.size() < lines_named) first_lines_.push_back(line);
}

std::string BadRows::lines() const {
  return fmt::format("{} {}{}", count_ == 1 ? "line" : "lines", fmt::join(first_lines_, ", "),
                     count_ > first_lines_.size() ? ", ..." : "");
}

void BadRows::refuse_too_many(const std::string& file, std::uint64_t read) const {
  if (count_ * one_in <= count_ + read) return;
  throw InputError(
      fmt::format("{}: {} of {} rows cannot be read ({});\n--skip-bad-rows leaves out 1 % at most. "
                  "The first: {}",
                  file, count_, count_ + read, lines(), first_reason_));
}

bool BadRows::prevail(std::uint64_t read) const {
  constexpr std::uint64_t plenty = 1000;
  return count_ >= plenty && count_ > read;
}

Finding BadRows::finding(std::uint64_t read) const {
  const double percent = 100.0 * static_cast<double>(count_) / static_cast<double>(count_ + read);
  return {"bad_rows_left_out",
          fmt::format("{} {} could not be read and {} left out ({} %; {}), as --skip-bad-rows "
                      "asks. Where {} stood the capture has a gap; nothing was filled in.",
                      count_, rows_word(count_), count_ == 1 ? "was" : "were",
                      words::in_digits_at_most(percent, 2), lines(), count_ == 1 ? "it" : "they")};
}

Finding blank_rows_left_out(const BlankRows& blank) {
  std::string where;
  if (blank.before > 0) {
    where = fmt::format("{} {} before the first reading", blank.before, rows_word(blank.before));
  }
  if (blank.after > 0) {
    where += fmt::format("{}{}", where.empty() ? "" : " and ",
                         fmt::format("{} {} after the last", blank.after, rows_word(blank.after)));
  }
  return {"blank_rows_left_out",
          fmt::format("Cells are blank in {}; nothing was recorded there, and it was left out.",
                      where)};
}

}  // namespace lampbeat::capture::table
