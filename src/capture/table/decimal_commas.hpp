#pragma once

#include <string>

#include "capture/table/head.hpp"
#include "capture/table/reading.hpp"
#include "capture/table/sample.hpp"

// Commas can separate columns, mark decimals or part thousands.

namespace lampbeat::capture::table {

/// A comma between two whole numbers on every line, under a heading of one word: decimals.
bool one_column_of_decimal_commas(const Head& head, const Reading& reading, const Sample& sample);

/// The same lines read as one column.
Reading as_one_column(const Head& head, Reading reading);

/// Throws InputError where nobody can tell what the commas mean.
void refuse_ambiguous_commas(const std::string& file, const Head& head, const Reading& reading,
                             const Sample& sample);

}  // namespace lampbeat::capture::table
