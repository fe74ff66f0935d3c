#include <cmath>
#include <random>
#include <string>

#include "support/catch.hpp"
#include "support/draws.hpp"
#include "words/lists.hpp"
#include "words/numbers.hpp"
#include "words/units.hpp"

namespace words = lampbeat::words;

TEST_CASE("a figure that rounds into the next decade takes no digit more") {
  CHECK(words::in_digits(9.994) == "9.99");
  CHECK(words::in_digits(9.996) == "10.0");
  CHECK(words::in_digits(0.9996) == "1.00");
  CHECK(words::in_digits(0.0009996) == "0.00100");
  CHECK(words::in_digits(99.96, 3) == "100");
  CHECK(words::in_digits(-9.996) == "−10.0");
}

TEST_CASE("a figure has the digits asked for, and is the nearest such number") {
  // What stands before the point is never cut, so the numbers drawn have no more than four digits.
  for (int i = 0; i < lampbeat::test::draws(2000); ++i) {
    const double value = std::pow(10.0, -4.0 + 7.9 * std::fmod(i * 0.6180339887, 1.0));
    const std::string text = words::in_digits(value, 4);
    INFO(value << " reads " << text);
    const std::string digits = text.substr(text.find_first_not_of("0."));
    const auto points = digits.find('.') == std::string::npos ? 0U : 1U;
    CHECK(digits.size() - points == 4);
    const double decade = std::floor(std::log10(value));
    CHECK(std::abs(std::stod(text) - value) <= 0.5000001 * std::pow(10.0, decade - 3.0));
  }
}

TEST_CASE("zeros at the end go only where they say nothing") {
  CHECK(words::in_digits_at_most(60.0, 5) == "60");
  CHECK(words::in_digits_at_most(59.94, 5) == "59.94");
  CHECK(words::in_digits_at_most(600.0, 3) == "600");
  CHECK(words::in_decimals_at_most(23.976023976, 3) == "23.976");
  CHECK(words::in_decimals_at_most(25.0, 3) == "25");
  CHECK(words::in_decimals_at_most(100.0, 0) == "100");
}

TEST_CASE("what rounds to nothing reads 0, on either side of it") {
  CHECK(words::in_decimals_at_most(-0.001, 2) == "0");
  CHECK(words::in_decimals_at_most(-0.0, 2) == "0");
  CHECK(words::in_decimals_at_most(0.004, 2) == "0");
  CHECK(words::in_decimals_at_most(-0.006, 2) == "−0.01");
  CHECK(words::in_digits(-0.0) == "0");
}

TEST_CASE(
    "decimals are the nearest that fit, without zeros at their end, and never a minus nought") {
  std::mt19937 random(7);
  const std::string minus = "−";
  for (int i = 0; i < lampbeat::test::draws(4000); ++i) {
    const double size = lampbeat::test::logarithmic(random, 1e-6, 1e4);
    const double value = lampbeat::test::often(random, 0.5) ? size : -size;
    const int decimals = i % 7;
    std::string text = words::in_decimals_at_most(value, decimals);
    INFO(value << " to " << decimals << " decimals reads " << text);
    const bool below = text.starts_with(minus);
    if (below) text.erase(0, minus.size());
    REQUIRE(text.find_first_not_of("0123456789.") == std::string::npos);
    const std::size_t point = text.find('.');
    if (point != std::string::npos) {
      CHECK(text.size() - point - 1 <= static_cast<std::size_t>(decimals));
      CHECK(text.back() != '0');
      CHECK(text.back() != '.');
    }
    const double read = std::stod(text);
    CHECK(below == (value < 0.0 && read > 0.0));
    CHECK(std::abs(read - size) <= 0.5000001 * std::pow(10.0, -decimals));
  }
}

TEST_CASE("a frequency is in hertz until 10 kHz, wherever it is shown") {
  CHECK(words::hertz(60.0) == "60 Hz");
  CHECK(words::hertz(119.98, 3) == "120 Hz");
  CHECK(words::hertz(119.98) == "119.98 Hz");
  CHECK(words::hertz(1200.4, 3) == "1200 Hz");
  CHECK(words::hertz(9999.0) == "9999 Hz");
  CHECK(words::hertz(19840.0, 3) == "19.8 kHz");
  CHECK(words::hertz(66000.0, 5) == "66 kHz");
  CHECK(words::hertz(250000.0, 5) == "250 kHz");
}

TEST_CASE("a measured frequency has the digits its uncertainty supports") {
  CHECK(words::measured_hertz(120.0304, 0.0021) == "120.0304 ± 0.0021 Hz");
  CHECK(words::measured_hertz(120.03, 0.0996) == "120.03 ± 0.10 Hz");
  CHECK(words::measured_hertz(120.0304, 0.00001) == "120.0304 Hz");
  CHECK(words::measured_hertz(120.0304, 0.0) == "120.0304 Hz");
}

TEST_CASE("three digits of a duration, in the unit that gives them") {
  CHECK(words::duration(300.0) == "5.00 min");
  CHECK(words::duration(60.0) == "60.0 s");
  CHECK(words::duration(3.0) == "3.00 s");
  CHECK(words::duration(0.9998) == "1.00 s");
  CHECK(words::duration(0.016) == "16.0 ms");
  CHECK(words::duration(0.0009998) == "1.00 ms");
  CHECK(words::duration(0.0005) == "500 µs");
}

TEST_CASE("percent of the light") {
  CHECK(words::percent(31.24) == "31.2 %");
  CHECK(words::percent(0.996) == "1.0 %");
  CHECK(words::percent(0.04) == "0.04 %");
  CHECK(words::percent(0.001) == "under 0.01 %");
  CHECK(words::percent(0.0) == "0 %");
}

TEST_CASE("what must not be exceeded is rounded down, and what already has the digits stays") {
  CHECK(words::percent_at_most(8.96) == "8.9 %");
  CHECK(words::percent_at_most(8.9) == "8.9 %");
  CHECK(words::percent_at_most(100.0) == "100.0 %");
  CHECK(words::percent_at_most(0.687) == "0.68 %");
  CHECK(words::percent_at_most(0.68) == "0.68 %");
  CHECK(words::percent_at_most(0.999) == "0.99 %");
  std::mt19937 random(11);
  for (int i = 0; i < lampbeat::test::draws(2000); ++i) {
    const double value = lampbeat::test::logarithmic(random, 0.02, 99.0);
    const std::string shown = words::percent_at_most(value);
    INFO(value << " reads " << shown);
    CHECK(std::stod(shown) <= value * (1.0 + 1e-9));
    CHECK(std::stod(shown) >= value - (value < 1.0 ? 0.0101 : 0.1001));
  }
}

TEST_CASE("a figure never reads as if it stood on the other side of an edge") {
  CHECK(words::in_digits_apart(0.5996, 2, {0.6, 1.6}) == "0.5996");
  CHECK(words::in_digits_apart(0.596, 2, {0.6, 1.6}) == "0.596");
  CHECK(words::in_digits_apart(0.594, 2, {0.6, 1.6}) == "0.59");
  CHECK(words::in_digits_apart(0.6, 2, {0.6, 1.6}) == "0.60");
  CHECK(words::in_digits_apart(1.598, 2, {0.6, 1.6}) == "1.598");
  std::mt19937 random(12);
  for (int i = 0; i < lampbeat::test::draws(4000); ++i) {
    const double edge = i % 2 == 0 ? 0.6 : 1.6;
    const double value = edge * (1.0 + lampbeat::test::between(random, -0.01, 0.01));
    const double shown = std::stod(words::in_digits_apart(value, 2, {0.6, 1.6}));
    INFO(value << " reads " << shown);
    CHECK((shown < edge) == (value < edge));
  }
}

TEST_CASE("one stop is one, and however many there are is told in tenths") {
  CHECK(words::stops(-0.28) == "0.3 stops");
  CHECK(words::stops(1.02) == "1 stop");
  CHECK(words::stops(-0.96) == "1 stop");
  CHECK(words::stops(2.34) == "2.3 stops");
}

TEST_CASE("a list reads as one speaks it") {
  CHECK(words::listed({}).empty());
  CHECK(words::listed({"24"}) == "24");
  CHECK(words::listed({"24", "25", "30"}) == "24, 25 and 30");
  CHECK(words::listed({"24", "25"}, "or") == "24 or 25");
}
