#pragma once

#include <cstddef>
#include <string>

#include "capture/table/column_wish.hpp"
#include "capture/table/head.hpp"

namespace lampbeat::capture::table {

/// Says why no way of reading finds a row of numbers: InputError when there is no table, UsageError
/// when there is one without the columns wished for.
[[noreturn]] void refuse_unreadable(const std::string& file, const Head& head,
                                    const ColumnWishes& wishes);

/// Throws InputError when the text before line `first` (an index) holds bytes that no text has.
void refuse_binary_before(const std::string& file, const Head& head, std::size_t first);

}  // namespace lampbeat::capture::table
