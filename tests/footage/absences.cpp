// What a clip without bands proves.

#include "footage/answer/absence.hpp"

#include "support/catch.hpp"

using namespace lampbeat;
using namespace lampbeat::footage;

TEST_CASE("a bound deeper than any bands can be excludes nothing") {
  for (const double percent : {100.0, 374.6}) {
    CAPTURE(percent);
    const answer::Evidence evidence = answer::nothing_seen(percent, "");
    CHECK_FALSE(evidence.nothing_seen);
    CHECK_FALSE(evidence.smallest_seen_percent);
    REQUIRE(evidence.findings.size() == 1);
    CHECK(evidence.findings.front().code == "nothing_excluded");
  }
  const answer::Evidence evidence = answer::nothing_seen(0.4, "");
  CHECK(evidence.nothing_seen);
  CHECK(evidence.smallest_seen_percent == 0.4);
}
