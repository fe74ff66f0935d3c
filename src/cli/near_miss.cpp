#include "cli/near_miss.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <numeric>

#include "lampbeat/error.hpp"

namespace lampbeat::cli {

namespace {

/// Levenshtein distance: how many letters were mistyped.
std::size_t edits(const std::string& a, const std::string& b) {
  std::vector<std::size_t> row(b.size() + 1);
  std::iota(row.begin(), row.end(), std::size_t{0});
  for (std::size_t i = 1; i <= a.size(); ++i) {
    std::size_t diagonal = row[0];
    row[0] = i;
    for (std::size_t j = 1; j <= b.size(); ++j) {
      const std::size_t replaced = diagonal + (a[i - 1] == b[j - 1] ? 0 : 1);
      diagonal = row[j];
      row[j] = std::min({row[j] + 1, row[j - 1] + 1, replaced});
    }
  }
  return row[b.size()];
}

}  // namespace

void require_known(const std::string& what, const std::string& word,
                   const std::vector<std::string>& known) {
  if (known.empty() || std::find(known.begin(), known.end(), word) != known.end()) return;
  const std::string shown = word.substr(0, 40);
  const auto nearest = std::min_element(
      known.begin(), known.end(),
      [&](const auto& a, const auto& b) { return edits(shown, a) < edits(shown, b); });
  if (edits(shown, *nearest) <= 2) {
    throw UsageError(fmt::format("there is no {} '{}'; did you mean '{}'?", what, shown, *nearest));
  }
  throw UsageError(
      fmt::format("there is no {} '{}'; there are {}", what, shown, fmt::join(known, ", ")));
}

}  // namespace lampbeat::cli
