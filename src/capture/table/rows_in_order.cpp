#include "capture/table/rows_in_order.hpp"

#include <utility>

namespace lampbeat::capture::table {

bool RowsInOrder::fill(std::size_t count, double kept_s) {
  while (ahead_.size() < count) {
    Row row;
    if (!rows_.next(row, kept_s)) return false;
    ahead_.push_back({row, std::string(row.time_text)});
  }
  return true;
}

void RowsInOrder::leave_out(std::size_t place) {
  const auto at = ahead_.begin() + static_cast<std::ptrdiff_t>(place);
  rows_.leave_out_after_all(at->row.line);
  ahead_.erase(at);
}

bool RowsInOrder::next(Row& row, double kept_s) {
  while (fill(2, kept_s)) {
    const double now = ahead_[0].row.time;
    const double then = ahead_[1].row.time;
    if (then >= now || !fill(3, kept_s)) break;
    const double later = ahead_[2].row.time;
    if (later >= now) {
      leave_out(1);
    } else if (later >= then && (!any_given_ || then >= last_given_)) {
      leave_out(0);
    } else {
      break;
    }
  }
  if (ahead_.empty()) return false;
  row = ahead_.front().row;
  given_text_ = std::move(ahead_.front().time_text);
  row.time_text = given_text_;
  ahead_.pop_front();
  any_given_ = true;
  last_given_ = row.time;
  return true;
}

}  // namespace lampbeat::capture::table
