#pragma once

#include <string>
#include <vector>

#include "lampbeat/rating.hpp"
#include "lampbeat/shelf_file.hpp"

namespace lampbeat::cli {

/// One thing to rate: a capture to be measured, a saved light, or a line of `measure --json` made
/// elsewhere.
struct ToRate {
  ShelfEntry entry;
  std::string line;    ///< the JSON line; empty for a file
  std::string file;    ///< what it is read from; "-" for standard input
  bool saved = false;  ///< the file is a light profile
  bool named = false;  ///< by itself, where a list of fixtures could have been
};

/// What the inputs of `rate` stand for, in order. A folder gives its captures by name, a shelf file
/// its rows, a file (or standard input, "-") of JSON lines its lines, a light profile itself;
/// anything else is a capture. In a folder a profile saved of one of its captures is passed over.
/// Captures and lines without a shelf are named after their files, or by their whole paths where
/// two would share a name. Throws InputError for a shelf that cannot be read and an empty folder.
std::vector<ToRate> gather_inputs(const std::vector<std::string>& inputs);

}  // namespace lampbeat::cli
