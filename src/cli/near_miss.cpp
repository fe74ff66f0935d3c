#include "cli/near_miss.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>

#include "lampbeat/error.hpp"
#include "words/foreign_text.hpp"
#include "words/spelling.hpp"

namespace lampbeat::cli {

void require_known(const std::string& what, const std::string& word,
                   const std::vector<std::string>& known) {
  if (known.empty() || std::find(known.begin(), known.end(), word) != known.end()) return;
  const std::string shown = words::excerpt(word);
  const auto slips = [&](const std::string& name) { return words::edits_between(word, name); };
  const auto nearest =
      std::min_element(known.begin(), known.end(),
                       [&](const auto& a, const auto& b) { return slips(a) < slips(b); });
  if (slips(*nearest) <= words::most_slips) {
    throw UsageError(fmt::format("there is no {} '{}'; did you mean '{}'?", what, shown, *nearest));
  }
  throw UsageError(
      fmt::format("there is no {} '{}'; there are {}", what, shown, fmt::join(known, ", ")));
}

}  // namespace lampbeat::cli
