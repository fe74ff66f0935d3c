#pragma once

#include <cstdlib>
#include <string_view>

namespace lampbeat::test {

/// How many of `all` random draws a property test makes: a tenth, so that the default suite stays
/// short, and every one where LAMPBEAT_DRAWS is "all" (CI).
inline int draws(int all) {
  const char* asked = std::getenv("LAMPBEAT_DRAWS");
  return asked && std::string_view(asked) == "all" ? all : (all + 9) / 10;
}

}  // namespace lampbeat::test
