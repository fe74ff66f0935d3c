#include "words/dates.hpp"

#include <ctime>
#include <string>

#include "support/catch.hpp"
#include "support/draws.hpp"

namespace words = lampbeat::words;

TEST_CASE("dates are read as ISO 8601 writes them") {
  // 2026-11-01 is 20758 days after 1970-01-01 (GNU date: date -ud 2026-11-01 +%s).
  constexpr std::int64_t midnight = 1793491200;
  CHECK(words::time_in("2026-11-01") == midnight);
  CHECK(words::time_in("2026-11-01T18:30") == midnight + 66600);
  CHECK(words::time_in("2026-11-01T18:30:05Z") == midnight + 66605);
  CHECK(words::time_in("2026-11-01 18:30:05.250z") == midnight + 66605);
  CHECK(words::time_in("2026-11-01T18:30:05+01:00") == midnight + 66605 - 3600);
  CHECK(words::time_in("2026-11-01T18:30:05-0530") == midnight + 66605 + 19800);
  CHECK(words::time_in("2024-02-29").has_value());
}

TEST_CASE("what no calendar has is no date") {
  for (const char* text :
       {"", "yesterday", "2026", "2026-11", "2026-13-01", "2026-02-30", "2023-02-29", "26-11-01",
        "2026-11-01T", "2026-11-01T25:00", "2026-11-01T18", "2026-11-01T18:60", "2026-11-01x",
        "2026-11-01T18:30:05+", "2026-11-01T18:30:05 UTC", "1969-12-31", "2026/11/01"}) {
    INFO(text);
    CHECK_FALSE(words::time_in(text).has_value());
  }
}

TEST_CASE("a time written out reads back as it was, and as the C library writes it") {
  lampbeat::test::Random random(8601);
  for (int i = 0; i < lampbeat::test::draws(2000); ++i) {
    const auto seconds = static_cast<std::int64_t>(lampbeat::test::between(random, 0.0, 2e11));
    CHECK(words::time_in(words::utc_time(seconds)) == seconds);
    const std::time_t time = seconds;
    std::tm parts{};
    gmtime_r(&time, &parts);
    char text[32];
    std::strftime(text, sizeof text, "%Y-%m-%dT%H:%M:%SZ", &parts);
    CHECK(words::utc_time(seconds) == text);
    CHECK(words::utc_day(seconds) == std::string(text).substr(0, 10));
  }
}
