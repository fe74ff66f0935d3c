#include "lampbeat/standards.hpp"
#include "support/catch.hpp"

using namespace lampbeat;

// IEEE Std 1789-2015, clause 8.1.1. All limits are from memory; only the standard's title, scope
// and abstract could be read.

TEST_CASE("the limits follow the two lines and their jump at 90 Hz (from memory)") {
  const struct {
    double hz, low_risk, no_effect;
  } rows[] = {{50, 1.25, 0.5},      {89, 2.225, 0.89},    {90, 7.2, 3},       {100, 8, 3.3333},
              {120, 9.6, 4},        {200, 16, 6.6667},    {400, 32, 13.3333}, {1000, 80, 33.3333},
              {1250, 100, 41.6667}, {2000, 100, 66.6667}, {3000, 100, 100}};
  for (const auto& row : rows) {
    INFO(row.hz << " Hz");
    const Ieee1789 limits = ieee1789(1.0, row.hz);
    CHECK(limits.low_risk_limit_percent == Approx(row.low_risk).epsilon(1e-5));
    CHECK(limits.no_effect_limit_percent == Approx(row.no_effect).epsilon(1e-4));
  }
}

TEST_CASE("a light is judged by the line it stays under (from memory)") {
  CHECK(ieee1789(4.0, 120).level == Ieee1789Level::no_observable_effect);
  CHECK(ieee1789(4.01, 120).level == Ieee1789Level::low_risk);
  CHECK(ieee1789(9.6, 120).level == Ieee1789Level::low_risk);
  CHECK(ieee1789(9.61, 120).level == Ieee1789Level::above_low_risk);
  CHECK(ieee1789(3.0, 89.9).level == Ieee1789Level::above_low_risk);
  CHECK(ieee1789(3.0, 90.0).level == Ieee1789Level::no_observable_effect);
}

TEST_CASE("above their ends the lines restrict nothing (from memory)") {
  CHECK(ieee1789(100.4, 1300).level == Ieee1789Level::low_risk);
  CHECK(ieee1789(100.4, 3100).level == Ieee1789Level::no_observable_effect);
  CHECK(ieee1789(100.0, 1249).level == Ieee1789Level::above_low_risk);
}

TEST_CASE("a frequency that cannot be told from 90 Hz is pointed out, and judged as below it") {
  CHECK_FALSE(ieee1789_level_note(ieee1789(2.0, 0.0, 90.2, 0.05)));
  const Ieee1789 near = ieee1789(2.0, 0.0, 90.01, 0.01);
  CHECK(near.level ==
        Ieee1789Level::low_risk);  // 2.225 % and 0.89 % below 90 Hz, 7.2 % and 3 % from there on
  const auto note = ieee1789_level_note(near);
  REQUIRE(note);
  CHECK(note->code == "ieee1789_boundary");
}

TEST_CASE("a level that a frequency near 90 Hz leaves open is pointed out") {
  const auto note = [](double hz, double hz_sd) {
    return ieee1789_level_note(ieee1789(2.5, 0.0, hz, hz_sd));
  };
  CHECK_FALSE(note(100.0, 0.5));
  CHECK_FALSE(note(90.2, 0.05));
  CHECK_FALSE(note(89.99, 0.01));  // the worse side is its own
  REQUIRE(note(90.01, 0.01));
  CHECK(note(90.01, 0.01)->code == "ieee1789_boundary");
}

TEST_CASE("a level is written and read back") {
  using enum Ieee1789Level;
  for (const Ieee1789Level level : {no_observable_effect, low_risk, above_low_risk}) {
    CHECK(ieee1789_level(level_words(level)) == level);
  }
  CHECK_FALSE(ieee1789_level("no risk"));
}
