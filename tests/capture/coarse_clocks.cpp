// Loggers count in ticks longer than the time between two samples, and programs print few digits.
// The truth is the time at which each sample was really taken.

#include <algorithm>
#include <cmath>
#include <random>

#include <fmt/format.h>

#include "capture/clock/printed_precision.hpp"
#include "capture/clock/row_clock.hpp"
#include "support/catch.hpp"
#include "support/draws.hpp"
#include "support/read_all.hpp"
#include "support/scratch.hpp"

namespace {

using namespace lampbeat;
using namespace lampbeat::test;

struct Rebuilt {
  std::vector<double> time_s;
  SampleClock clock;
  Findings findings;
  bool says(const char* code) const { return has_finding(findings, code); }
};

Rebuilt rebuilt(const std::vector<double>& written_s) {
  capture::clock::RowClock clock;
  Rebuilt result;
  std::uint64_t line = 0;
  const auto take = [&] {
    result.time_s.insert(result.time_s.end(), clock.settled().begin(), clock.settled().end());
    clock.drop_settled();
  };
  for (const double t : written_s) {
    clock.push({t, 0.0, ++line});
    take();
  }
  clock.finish();
  take();
  result.clock = clock.clock();
  result.findings = clock.findings();
  return result;
}

/// Largest departure from the truth, but for a constant (which no tick tells).
double largest_error(const std::vector<double>& time_s, const std::vector<double>& truth_s) {
  double low = HUGE_VAL;
  double high = -HUGE_VAL;
  for (std::size_t i = 0; i < time_s.size(); ++i) {
    low = std::min(low, time_s[i] - truth_s[i]);
    high = std::max(high, time_s[i] - truth_s[i]);
  }
  return (high - low) / 2.0;
}

}  // namespace

TEST_CASE("A coarse clock of any rate, tick and phase is rebuilt to a tenth of an interval") {
  std::mt19937 random(20);
  std::uniform_real_distribution<double> part(0.0, 1.0);
  for (int draw = 0; draw < draws(1000); ++draw) {
    const double rate_hz = 1500.0 * std::pow(33.0, part(random));
    const double tick_s = std::max(1.05 / rate_hz, 1e-4 * std::pow(50.0, part(random)));
    const double phase = part(random);
    const bool rounded = part(random) < 0.5;
    const auto rows = static_cast<std::size_t>(rate_hz * (1.0 + 2.0 * part(random)));
    std::vector<double> truth_s, written_s;
    for (std::size_t i = 0; i < rows; ++i) {
      truth_s.push_back((static_cast<double>(i) + phase) / rate_hz);
      const double ticks = truth_s.back() / tick_s;
      written_s.push_back(tick_s * (rounded ? std::round(ticks) : std::floor(ticks)));
    }
    INFO(fmt::format("draw {}: {:.1f} Hz, tick {:.4g} ms, phase {:.3f}", draw, rate_hz,
                     1e3 * tick_s, phase));
    const Rebuilt found = rebuilt(written_s);
    REQUIRE(found.time_s.size() == rows);
    REQUIRE(found.clock.rebuilt);
    // Near a simple ratio of tick and interval less is known; the stated bound says how much.
    CHECK(largest_error(found.time_s, truth_s) * rate_hz < 0.55);
    CHECK(largest_error(found.time_s, truth_s) <= found.clock.time_bound_s * 1.01 + 0.01 / rate_hz);
    CHECK(found.clock.time_bound_s * rate_hz < 0.75);  // a bound of many rows would say nothing
    CHECK(std::abs(found.clock.interval_s * rate_hz - 1.0) <= found.clock.rate_bound);
    CHECK(found.clock.rate_bound < 1e-3);
    CHECK(found.says("coarse_clock"));
    CHECK_FALSE(found.says("missing_samples"));
  }
}

TEST_CASE("Rows lost from a coarse clock are counted and leave the other times right") {
  std::mt19937 random(21);
  std::uniform_real_distribution<double> part(0.0, 1.0);
  int miscounted = 0;
  for (int draw = 0; draw < draws(500); ++draw) {
    const double rate_hz = 1500.0 * std::pow(6.0, part(random));
    const double tick_s = (1.1 + 3.0 * part(random)) / rate_hz;
    const double loss = 0.001 + 0.009 * part(random);
    const auto rows = static_cast<std::size_t>(rate_hz * (1.5 + part(random)));
    std::vector<double> truth_s, written_s;
    double lost = 0.0;
    for (std::size_t i = 0; i < rows; ++i) {
      if (i > 0 && i + 1 < rows && part(random) < loss) {
        ++lost;
        continue;
      }
      truth_s.push_back(static_cast<double>(i) / rate_hz);
      written_s.push_back(tick_s * std::floor(truth_s.back() / tick_s));
    }
    INFO(fmt::format("draw {}: {:.1f} Hz, tick {:.4g} ms, {} rows lost", draw, rate_hz,
                     1e3 * tick_s, lost));
    const Rebuilt found = rebuilt(written_s);
    CHECK(largest_error(found.time_s, truth_s) * rate_hz < 2.5);
    double counted = 0.0;
    if (const Finding* missing = finding(found.findings, "missing_samples")) {
      counted = std::stod(missing->message.substr(6));
    }
    miscounted += std::abs(counted - lost) > 2.0 + 0.25 * lost;
  }
  // Where tick and interval stand almost in a simple ratio, a tick short of a row may be no loss.
  CHECK(miscounted <= 1 + draws(500) / 15);
}

TEST_CASE("Fine stamps with jitter of their own stay as they are written") {
  std::mt19937 random(22);
  std::normal_distribution<double> noise;
  std::uniform_real_distribution<double> part(0.0, 1.0);
  for (int draw = 0; draw < draws(300); ++draw) {
    const double rate_hz = 500.0 * std::pow(40.0, part(random));
    const double jitter = 0.05 + 0.15 * part(random);
    const double grain_s = part(random) < 0.5 ? 1e-6 : 4e-6;
    std::vector<double> written_s{0.0};
    while (written_s.back() < 1.3) {
      const double t = (static_cast<double>(written_s.size()) + jitter * noise(random)) / rate_hz;
      written_s.push_back(std::max(written_s.back(), grain_s * std::floor(t / grain_s)));
    }
    INFO(fmt::format("draw {}: {:.1f} Hz, jitter {:.2f}", draw, rate_hz, jitter));
    const Rebuilt found = rebuilt(written_s);
    CHECK_FALSE(found.clock.rebuilt);
    CHECK(found.findings.empty());
    CHECK(found.time_s == written_s);
  }
}

TEST_CASE("Rows between two gaps of a coarse clock keep their distance to the row") {
  // 20 kHz, whole milliseconds, 1234 and 40 rows lost.
  std::vector<double> truth_s, written_s;
  for (int i = 0; i < 60000; ++i) {
    if ((i >= 20000 && i < 21234) || (i >= 40000 && i < 40040)) continue;
    truth_s.push_back(i / 20000.0);
    written_s.push_back(std::floor(i / 20.0) / 1000.0);
  }
  const Rebuilt found = rebuilt(written_s);
  CHECK(largest_error(found.time_s, truth_s) < 0.5 / 20000.0);
  REQUIRE(found.says("missing_samples"));
  // Twenty rows to every tick: one row more or less in each gap is the same to this clock.
  const std::string& message = found.findings.back().message;
  CHECK(std::abs(std::stod(message.substr(6)) - 1274.0) <= 2.0);
  CHECK(message.find("missing in 2 gaps") != std::string::npos);
}

TEST_CASE("Four significant digits are worth less after ten seconds, and are read so") {
  capture::clock::PrintedPrecision four;
  for (const char* text : {"0.0005", "0.1235", "0.9995", "9.999"}) four.see(text, '.');
  CHECK(four.at(0.5) == Approx(1e-4));
  CHECK(four.at(9.999) == Approx(1e-3));
  CHECK(four.at(10.0) == Approx(1e-2));
  capture::clock::PrintedPrecision fixed;
  for (const char* text : {"0,500", "9,999", "10,000", "123,456"}) fixed.see(text, ',');
  CHECK(fixed.at(0.5) == Approx(1e-3));
  CHECK(fixed.at(123.4) == Approx(1e-3));
  capture::clock::PrintedPrecision powers;
  powers.see("1.234e-02", '.');
  CHECK(powers.at(0.01234) == Approx(1e-5));
  CHECK(powers.at(1.234) == Approx(1e-3));

  std::string text = "time_s,v\n";
  for (int i = 0; i < 28000; ++i) text += fmt::format("{:.4g},{}\n", i / 2000.0, i % 7);
  const Reading reading = read_all(scratch_file("four_digits.csv", text));
  REQUIRE(reading.time_s.size() == 28000);
  double worst_s = 0.0;
  for (int i = 0; i < 28000; ++i) {
    worst_s = std::max(worst_s, std::abs(reading.time_s[static_cast<std::size_t>(i)] - i / 2000.0));
  }
  CHECK(worst_s < 0.5 / 2000.0);
  CHECK(reading.has("coarse_clock"));
  CHECK_FALSE(reading.has("missing_samples"));
}

TEST_CASE("Times that change too seldom to tell the rate are refused with the remedy") {
  std::string text = "time_s,v\n";
  for (int i = 0; i < 400; ++i) text += fmt::format("{},{}\n", i < 150 ? 0 : 1, i % 7);
  try {
    read_all(scratch_file("two_times.csv", text));
    FAIL("read without complaint");
  } catch (const InputError& error) {
    CHECK(std::string(error.what()).find("--rate HZ") != std::string::npos);
  }
}
