#include "cli/limit.hpp"

#include "words/numbers.hpp"

#include <fmt/format.h>

#include <algorithm>

namespace lampbeat::cli {

Depth depth_of(const FootageResult& f) {
  if (f.transfer_doubt) return {std::nullopt, "the curve this clip was read by is in doubt"};
  // Looked for and not found: the limit asks how deep it could be, not whether that would be seen.
  if (f.nothing_seen && f.smallest_seen_percent) return {f.smallest_seen_percent, ""};
  if (!f.verdict) return {std::nullopt, "what this clip shows was not decided"};
  if (!f.band_percent) return {f.pulse_percent, "no depth was measured in this clip"};
  return {std::max(*f.band_percent, f.pulse_percent.value_or(0.0)), ""};
}

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
