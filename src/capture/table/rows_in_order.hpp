#pragma once

#include <deque>
#include <string>

#include "capture/table/row_reader.hpp"

namespace lampbeat::capture::table {

/// The rows of a table that leaves out what cannot be read: a row whose time stands out between
/// those around it is left out too. Where time goes back and stays there, rows are given as they
/// are: the logger restarted, or its counter began anew.
class RowsInOrder {
 public:
  explicit RowsInOrder(RowReader& rows) : rows_(rows) {}

  /// As `RowReader::next`; the row's text is valid until the next is asked for.
  bool next(Row& row, double kept_s);

 private:
  struct Kept {
    Row row;
    std::string time_text;
  };
  bool fill(std::size_t count, double kept_s);
  void leave_out(std::size_t place);

  RowReader& rows_;
  std::deque<Kept> ahead_;
  std::string given_text_;
  bool any_given_ = false;
  double last_given_ = 0.0;
};

}  // namespace lampbeat::capture::table
