// What the times of a file say: the rate behind them, and where each frame belongs.

#include <cmath>
#include <optional>
#include <random>
#include <vector>

#include "footage/clips/stated_rate.hpp"
#include "footage/stretches/frame_clock.hpp"
#include "support/catch.hpp"

using namespace lampbeat;
using footage::clips::stated_rate;
using footage::stretches::FrameClock;

namespace {

std::vector<double> times_s(double fps, int frames, double tick_s, double lost,
                            std::mt19937& random) {
  std::uniform_real_distribution<double> chance(0.0, 1.0);
  std::vector<double> times;
  for (int n = 0; n < frames; ++n) {
    if (n > 1 && chance(random) < lost) continue;
    times.push_back(std::round(n / fps / tick_s) * tick_s);
  }
  return times;
}

/// Places frames by their times in periods; how many were missing, or nothing for uneven ones.
std::optional<std::size_t> missing(const std::vector<double>& periods) {
  FrameClock clock;
  std::size_t sum = 0;
  for (const double period : periods) sum += clock.missing_before(period);
  return clock.even() ? std::optional<std::size_t>(sum) : std::nullopt;
}

}  // namespace

TEST_CASE("the rate behind rounded times with gaps is the one they were taken at") {
  std::mt19937 random(5);
  const FrameRate rates[] = {{24, 1},       {24000, 1001}, {25, 1}, {30, 1},
                             {30000, 1001}, {50, 1},       {60, 1}, {60000, 1001}};
  for (const FrameRate fps : rates) {
    for (const double tick_s : {1e-3, 1.0 / 90000.0}) {
      const auto found = stated_rate(times_s(fps.per_s(), 240, tick_s, 0.05, random), {});
      REQUIRE(found.has_value());
      CAPTURE(fps.per_s(), tick_s);
      CHECK(found->fps == fps);
    }
  }
}

TEST_CASE("a rate without a name is given as it is, and what is stated names it") {
  std::mt19937 random(6);
  const auto odd = stated_rate(times_s(27.3, 200, 1e-5, 0.0, random), {});
  REQUIRE(odd.has_value());
  CHECK(odd->fps.per_s() == Approx(27.3).epsilon(1e-4));
  const auto named = stated_rate(times_s(27.3, 200, 1e-5, 0.0, random), {{90000, 1}, {273, 10}});
  CHECK(named->fps == FrameRate{273, 10});
  // Without times, what the container states; without anything, nothing.
  CHECK(stated_rate({}, {{0, 0}, {25, 1}})->fps == FrameRate{25, 1});
  CHECK_FALSE(stated_rate({}, {}));
  CHECK_FALSE(stated_rate({1.0, 1.0, 1.0}, {}));
}

TEST_CASE("frames are placed where their times say, and uneven times place none") {
  CHECK(missing({0, 1, 2, 3, 4}) == 0);
  CHECK(missing({0, 1.05, 1.95, 4.02, 5, 5.9}) == 1);
  CHECK_FALSE(missing({0, 1, 2.4, 3, 4.4, 5, 6.4}));
  CHECK_FALSE(missing({0, 1, 1, 2, 3}));      // twice at one time
  CHECK_FALSE(missing({0, 1, 2, 900, 901}));  // a cut
  CHECK_FALSE(missing({0, 1, 2, 1, 2}));      // back in time
  std::vector<double> slower;
  for (int n = 0; n < 300; ++n) slower.push_back(1.001 * n);
  CHECK_FALSE(missing(slower));  // another rate than the clip began with
}

TEST_CASE("a file without times leaves it to the pattern") {
  FrameClock clock;
  for (int n = 0; n < 20; ++n) CHECK(clock.missing_before(std::nullopt) == 0);
  CHECK(clock.even());
}
