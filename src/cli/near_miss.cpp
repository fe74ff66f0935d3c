#include "cli/near_miss.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <optional>
#include <string_view>

#include "lampbeat/error.hpp"
#include "words/foreign_text.hpp"
#include "words/spelling.hpp"

namespace lampbeat::cli {

namespace {

/// The one that is at most a slip or two away.
std::optional<std::string> nearest_of(const std::vector<std::string>& known,
                                      const std::string& word) {
  const auto slips = [&](const std::string& name) { return words::edits_between(word, name); };
  const auto nearest =
      std::min_element(known.begin(), known.end(),
                       [&](const auto& a, const auto& b) { return slips(a) < slips(b); });
  if (nearest == known.end() || slips(*nearest) > words::most_slips) return std::nullopt;
  return *nearest;
}

}  // namespace

void require_known(const std::string& what, const std::string& word,
                   const std::vector<std::string>& known) {
  if (known.empty() || std::find(known.begin(), known.end(), word) != known.end()) return;
  const std::string shown = words::excerpt(word);
  if (const auto nearest = nearest_of(known, word)) {
    throw UsageError(fmt::format("there is no {} '{}'; did you mean '{}'?", what, shown, *nearest));
  }
  throw UsageError(
      fmt::format("there is no {} '{}'; there are {}", what, shown, fmt::join(known, ", ")));
}

void require_known_options(const CLI::App& command, int count, const char* const* arguments) {
  constexpr int first_option = 2;
  for (int i = first_option; i < count; ++i) {
    const std::string_view argument = arguments[i];
    if (argument == "--") return;
    if (!argument.starts_with("--")) continue;
    const std::string name(argument.substr(0, argument.find('=')));
    if (command.get_option_no_throw(name)) continue;
    std::vector<std::string> known;
    for (const CLI::Option* option : command.get_options()) {
      for (const std::string& word : option->get_lnames()) known.push_back("--" + word);
    }
    const std::string shown = words::excerpt(name);
    const auto nearest = nearest_of(known, name);
    throw UsageError(nearest ? fmt::format("{} has no option '{}'; did you mean '{}'?",
                                           command.get_name(), shown, *nearest)
                             : fmt::format("{} has no option '{}'", command.get_name(), shown));
  }
}

}  // namespace lampbeat::cli
