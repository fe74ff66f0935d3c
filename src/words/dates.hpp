#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>

// Dates as people and logs write them: ISO 8601, kept as seconds since 1970 began (UTC).

namespace lampbeat::words {

/// "2026-11-01" (its first second, UTC), "2026-11-01T18:30", "2026-11-01T18:30:05Z",
/// "2026-11-01 18:30:05+01:00"; a time that names no zone is UTC. Empty for anything else, and for
/// days that no calendar has; years 1970 to 9999.
std::optional<std::int64_t> time_in(std::string_view text);

/// "2026-11-01T18:30:05Z".
std::string utc_time(std::int64_t seconds);

/// "2026-11-01".
std::string utc_day(std::int64_t seconds);

}  // namespace lampbeat::words
