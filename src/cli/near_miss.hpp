#pragma once

#include <CLI/CLI.hpp>
#include <string>
#include <vector>

namespace lampbeat::cli {

/// Throws UsageError when `word` is none of `known`, naming the nearest one and listing all.
/// `what` says what the word should have been: "command", "light".
void require_known(const std::string& what, const std::string& word,
                   const std::vector<std::string>& known);

/// Throws UsageError when one of the arguments behind `command`'s name is an option it does not
/// have, naming the one that was probably meant.
void require_known_options(const CLI::App& command, int count, const char* const* arguments);

}  // namespace lampbeat::cli
