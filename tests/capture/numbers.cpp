// How numbers of foreign text are read, by itself and within a table.

#include <cmath>
#include <cstdlib>
#include <random>
#include <string>

#include <fmt/format.h>

#include "support/catch.hpp"
#include "support/draws.hpp"
#include "support/read_all.hpp"
#include "support/scratch.hpp"
#include "words/number_reader.hpp"

namespace {

using namespace lampbeat;
using namespace lampbeat::test;

TEST_CASE("A number is read as C writes it, and nothing else is one") {
  CHECK(words::number_in("-12.5") == -12.5);
  CHECK(words::number_in(".5") == 0.5);
  CHECK(words::number_in("7.") == 7.0);
  CHECK(words::number_in("2e-3") == 2e-3);
  CHECK(words::number_in("1,5", ',') == 1.5);
  CHECK(std::isnan(words::number_in("nan").value()));
  CHECK(words::number_in("-inf") == -HUGE_VAL);
  CHECK_FALSE(words::finite_number_in("inf"));
  for (const char* text : {"", "-", ".", "+1", " 1", "1 ", "1,5", "0x10", "1e", "12a", "--1"}) {
    INFO(text);
    CHECK_FALSE(words::number_in(text));
  }
}

TEST_CASE("What no double can hold becomes infinite or 0") {
  CHECK(words::number_in("1e999") == HUGE_VAL);
  CHECK(words::number_in("-1e999") == -HUGE_VAL);
  CHECK(words::number_in("1e-999") == 0.0);
}

TEST_CASE("Every number is read as the double nearest to it") {
  std::mt19937_64 random(11);
  for (int i = 0; i < draws(20000); ++i) {
    const int digits = std::uniform_int_distribution(1, 24)(random);
    const int mark = std::uniform_int_distribution(0, digits)(random);
    std::string text = random() % 2 == 0 ? "-" : "";
    for (int k = 0; k < digits; ++k) {
      if (k == mark) text += '.';
      text += static_cast<char>('0' + random() % 10);
    }
    if (random() % 4 == 0)
      text += fmt::format("e{}", std::uniform_int_distribution(-320, 320)(random));
    INFO(text);
    // The C library rounds correctly too, and by another way.
    REQUIRE(words::number_in(text) == std::strtod(text.c_str(), nullptr));
  }
}

TEST_CASE("Quoted decimal commas in a comma-separated table are no separators") {
  std::string text = "time_ms,light,lamp\n";
  for (int i = 0; i < 30; ++i) {
    text += i % 10 == 0 ? fmt::format("{},{},7\n", i, 500 + i)
                        : fmt::format("{},\"{},5\",7\n", i, 500 + i);
  }
  CaptureOptions options;
  options.value_column = "light";
  const Reading reading = read_all(scratch_file("quoted.csv", text), options);
  REQUIRE(reading.value.size() == 30);
  for (int i = 0; i < 30; ++i) {
    CHECK(reading.value[static_cast<std::size_t>(i)] == 500 + i + (i % 10 == 0 ? 0.0 : 0.5));
  }
}

}  // namespace
