#pragma once

#include <string>
#include <vector>

namespace lampbeat::words {

/// "24, 25 and 30"; with another last word "24, 25 or 30".
std::string listed(const std::vector<std::string>& parts, const std::string& last = "and");

}  // namespace lampbeat::words
