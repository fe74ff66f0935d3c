// Rows nobody can read, left out on request: the others keep their times, and what is missing is
// said.

#include <algorithm>
#include <cmath>
#include <set>
#include <string>
#include <vector>

#include <fmt/format.h>

#include "support/catch.hpp"
#include "support/draws.hpp"
#include "support/read_all.hpp"
#include "support/scratch.hpp"

namespace {

using namespace lampbeat;
using namespace lampbeat::test;

CaptureOptions skipping() {
  CaptureOptions options;
  options.skip_bad_rows = true;
  return options;
}

/// A row that something happened to. The time may be left, or not.
std::string spoiled(const std::string& time, const std::string& value, bool timed, Random& random) {
  switch (random() % (timed ? 7 : 6)) {
    case 0:
      return time + "," + value.substr(0, value.size() / 2) + "#" + "\n";
    case 1:
      return time + "," + value + time + "," + value + "\n";
    case 2:
      return time + ",nan\n";
    case 3:
      return time + ",\n";
    case 4:
      return "logger ready\n";
    case 5:
      return time + "\n";
    default:
      return std::string("\x01\x02", 2) + time + "," + value + "\n";
  }
}

}  // namespace

TEST_CASE("Unreadable rows are left out, counted and placed, and the others keep their times") {
  Random random(201);
  for (int i = 0; i < draws(200); ++i) {
    const double step_s = logarithmic(random, 2e-5, 2e-3);
    const int rows = 1000 + static_cast<int>(random() % 2000);
    std::set<int> bad;
    const int most = rows / 100;
    for (int k = 1 + static_cast<int>(random() % static_cast<unsigned>(most)); k > 0; --k) {
      bad.insert(2 + static_cast<int>(random() % static_cast<unsigned>(rows - 4)));
    }
    const bool timed = often(random, 0.6);
    std::string text = timed ? "time_s,light\n" : "number,light\n";
    std::vector<double> times;
    std::vector<double> values;
    for (int k = 0; k < rows; ++k) {
      const std::string time = timed ? fmt::format("{:.9f}", k * step_s) : std::to_string(k);
      const std::string value = fmt::format("{:.4f}", 2.0 + std::sin(0.1 * k));
      if (bad.contains(k)) {
        text += spoiled(time, value, timed, random);
      } else {
        text += time + "," + value + "\n";
        times.push_back(k * step_s);
        values.push_back(2.0 + std::sin(0.1 * k));
      }
    }
    const std::string path = scratch_file("spoiled.csv", text);
    CaptureOptions options;
    if (!timed) {
      options.rate_hz = 1.0 / step_s;
      options.value_column = "light";
    }
    CHECK(complaint(path, options).find("--skip-bad-rows") != std::string::npos);
    options.skip_bad_rows = true;
    const Reading reading = read_all(path, options);
    REQUIRE(reading.value.size() == values.size());
    REQUIRE(reading.time_s.size() == values.size());
    for (std::size_t k = 0; k < values.size(); ++k) {
      REQUIRE(std::abs(reading.value[k] - values[k]) < 1e-4);
      REQUIRE(std::abs(reading.time_s[k] - times[k]) < 1e-6 * rows * step_s);
    }
    const std::string said = reading.message("bad_rows_left_out");
    INFO(said);
    CHECK(said.find(fmt::format("{} row{} could not be read", bad.size(),
                                bad.size() == 1 ? "" : "s")) == 0);
    CHECK(said.find(fmt::format("line{} {}", bad.size() == 1 ? "" : "s", *bad.begin() + 2)) !=
          std::string::npos);
    CHECK(reading.has("missing_samples"));
  }
}

TEST_CASE("Rows left out of a coarse clock leave gaps, not shifted times") {
  Random random(202);
  for (int i = 0; i < draws(60); ++i) {
    const double step_s = between(random, 0.4e-3, 1.6e-3);
    std::string text = "time_ms,light\n";
    std::vector<double> times;
    for (int k = 0; k < 4000; ++k) {
      if (k > 300 && k % 400 == 17) {
        text += "#x\nxx,yy\n";
        continue;
      }
      text += fmt::format("{},{}\n", static_cast<int>(k * step_s * 1e3), 500 + k % 7);
      times.push_back(k * step_s);
    }
    const Reading reading = read_all(scratch_file("coarse.csv", text), skipping());
    REQUIRE(reading.time_s.size() == times.size());
    for (std::size_t k = 0; k < times.size(); ++k) {
      REQUIRE(std::abs(reading.time_s[k] - times[k]) < 1.01e-3 + 0.5 * step_s);
    }
  }
}

TEST_CASE("A time that stands out is a row that cannot be read; a restart is none") {
  const auto table = [](int at, const std::string& time) {
    std::string text = "time_s,light\n";
    for (int k = 0; k < 400; ++k) {
      text += fmt::format("{},{}\n", k == at ? time : fmt::format("{:.4f}", k * 0.001), k % 7);
    }
    return text;
  };
  for (const char* time : {"9.1234", "0.0001", "12345678"}) {
    const std::string path = scratch_file("stray_time.csv", table(150, time));
    CHECK(complaint(path).find("time goes back") != std::string::npos);
    const Reading reading = read_all(path, skipping());
    CHECK(reading.value.size() == 399);
    CHECK(std::abs(reading.time_s.back() - 0.399) < 1e-9);
    CHECK(reading.message("bad_rows_left_out").find("line 152") != std::string::npos);
  }
  std::string restarted = table(-1, "");
  for (int k = 0; k < 400; ++k) restarted += fmt::format("{:.4f},5\n", k * 0.001);
  CHECK(complaint(scratch_file("restarted.csv", restarted), skipping()).find("time goes back") !=
        std::string::npos);
}

TEST_CASE("More than one row in a hundred is not left out") {
  const auto table = [](int bad) {
    std::string text = "time_s,light\n";
    for (int k = 0; k < 1000; ++k) {
      text +=
          k % 10 == 3 && k / 10 < bad ? "broken\n" : fmt::format("{:.4f},{}\n", k * 0.001, k % 7);
    }
    return text;
  };
  CHECK(read_all(scratch_file("ten.csv", table(10)), skipping()).value.size() == 990);
  const std::string refused = complaint(scratch_file("eleven.csv", table(11)), skipping());
  INFO(refused);
  CHECK(refused.find("InputError") == 0);
  CHECK(refused.find("11 of 1000 rows cannot be read (lines 5, 15, 25, 35, 45, ...)") !=
        std::string::npos);
  CHECK(refused.find("leaves out 1 % at most") != std::string::npos);
  CHECK(refused.find("\"broken\"") != std::string::npos);
}

TEST_CASE("A table without faults reads the same whether or not rows may be left out") {
  std::string text = "light\n";
  for (int k = 0; k < 500; ++k) text += fmt::format("{}\n", k % 11);
  const std::string path = scratch_file("clean.csv", text);
  CaptureOptions options;
  options.rate_hz = 2000.0;
  const Reading plain = read_all(path, options);
  options.skip_bad_rows = true;
  const Reading careful = read_all(path, options);
  CHECK(plain.value == careful.value);
  CHECK(careful.findings.size() == plain.findings.size());
  for (std::size_t k = 0; k < careful.time_s.size(); ++k) {
    REQUIRE(careful.time_s[k] == static_cast<double>(k) / 2000.0);
  }
}
