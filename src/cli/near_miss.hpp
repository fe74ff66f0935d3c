#pragma once

#include <string>
#include <vector>

namespace lampbeat::cli {

/// Throws UsageError when `word` is none of `known`, naming the nearest one and listing all.
/// `what` says what the word should have been: "command", "light".
void require_known(const std::string& what, const std::string& word,
                   const std::vector<std::string>& known);

}  // namespace lampbeat::cli
