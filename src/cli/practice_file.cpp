#include "cli/practice_file.hpp"

#include <algorithm>
#include <cctype>

namespace lampbeat::cli {

bool has_ending(const PracticeFile& file, const std::string& ending) {
  const std::string& name = file.output;
  return name.size() >= ending.size() &&
         std::equal(ending.rbegin(), ending.rend(), name.rbegin(),
                    [](char wanted, char c) { return wanted == std::tolower(c); });
}

}  // namespace lampbeat::cli
