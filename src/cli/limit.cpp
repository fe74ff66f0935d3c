#include "cli/limit.hpp"

#include "words/numbers.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace lampbeat::cli {

void hold_to_limit(const std::optional<double>& limit_percent, const Depth& depth,
                   const std::string& what, Session& session) {
  if (!limit_percent || within(depth, *limit_percent)) return;
  session.exit_code = std::max(session.exit_code, 1);
  note(session, depth.percent
                    ? fmt::format("{}: {} % is over the limit of {:g} %", what,
                                  words::in_digits_at_most(*depth.percent, 3), *limit_percent)
                    : fmt::format("{} cannot be held against the limit of {:g} %: {}", what,
                                  *limit_percent, depth.why_unknown));
}

}  // namespace lampbeat::cli
