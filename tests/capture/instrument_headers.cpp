// Exports of oscilloscopes and loggers as they come: titles, units by "in", a start and an
// increment beside the columns, settings above them, cells that are blank before and after the
// readings. All invented, all drawn anew.

#include <cmath>
#include <numbers>
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

/// A light of 100 or 120 Hz, sampled at a round rate, and how its numbers are written.
struct Recorded {
  double rate_hz = 0.0;
  std::vector<double> value;
  char separator = ',';
  char decimal = '.';

  double step_s() const { return 1.0 / rate_hz; }
  std::string number(double x, int decimals) const {
    return with_mark(fmt::format("{:.{}f}", x, decimals));
  }
  std::string exponent(double x) const { return with_mark(fmt::format("{:.6E}", x)); }
  std::string with_mark(std::string text) const {
    for (char& c : text) {
      if (c == '.') c = decimal;
    }
    return text;
  }
  std::string line(const std::vector<std::string>& cells) const {
    std::string text;
    for (std::size_t i = 0; i < cells.size(); ++i)
      text += (i > 0 ? std::string(1, separator) : "") + cells[i];
    return text + "\n";
  }
};

template <std::size_t count>
const char* one_of(Random& random, const char* const (&list)[count]) {
  return list[random() % count];
}

Recorded recorded(Random& random) {
  static constexpr double rates[] = {1000, 2000, 5000, 10000, 12500, 20000, 25000, 48000};
  Recorded r;
  r.rate_hz = rates[random() % std::size(rates)];
  static constexpr char written[][2] = {
      {',', '.'}, {',', '.'}, {';', '.'}, {'\t', '.'}, {';', ','}};
  const auto& [separator, decimal] = written[random() % std::size(written)];
  r.separator = separator;
  r.decimal = decimal;
  const int rows = 200 + static_cast<int>(random() % 600);
  for (int i = 0; i < rows; ++i) {
    r.value.push_back(0.5 + 0.2 * std::sin(2.0 * std::numbers::pi * 100.0 * i * r.step_s()));
  }
  return r;
}

/// An interval, or the rate, the way some instrument states it.
std::string stated(const Recorded& r, double step_s, Random& random) {
  struct Unit {
    const char* name;
    double per_base;
  };
  static constexpr Unit of_intervals[] = {{"s", 1}, {"ms", 1e3}, {"us", 1e6}, {"", 1}};
  static constexpr Unit of_rates[] = {
      {"Hz", 1}, {"kHz", 1e-3}, {"S/s", 1}, {"kS/s", 1e-3}, {"", 1}};
  const bool rate = often(random, 0.4);
  const std::string name =
      rate ? one_of(random,
                    {"Sample Rate", "Sampling rate", "SampleRate", "sampling frequency", "Fs"})
           : one_of(random,
                    {"Sample Interval", "sampling interval", "Sample Period", "Sampling Period",
                     "SampleInterval", "X Increment", "XINCR", "dt", "Time step", "delta t"});
  const Unit unit = rate ? of_rates[random() % std::size(of_rates)]
                         : of_intervals[random() % std::size(of_intervals)];
  const double figure = rate ? unit.per_base / step_s : unit.per_base * step_s;
  const std::string digits =
      often(random, 0.5) ? r.exponent(figure) : r.with_mark(fmt::format("{:.9g}", figure));
  if (!*unit.name) return r.line({name, digits});
  switch (random() % 5) {
    case 0:
      return r.line({fmt::format("{} ({})", name, unit.name), digits});
    case 1:
      return r.line({name, digits, unit.name});
    case 2:
      return r.line({name, unit.name, digits});
    case 3:
      return fmt::format("# {}: {} {}\n", name, digits, unit.name);
    default:
      return r.line({name, fmt::format("{} {}", digits, unit.name)});
  }
}

std::string preamble(const Recorded& r, double step_s, Random& random) {
  std::string text = one_of(random, {"", "# bench logger\n", "Waveform export\n"});
  if (often(random, 0.5))
    text += r.line({"Record Length", std::to_string(r.value.size()), "Points"});
  text += stated(r, step_s, random);
  if (often(random, 0.3)) text += r.line({"Coupling", "DC"});
  if (often(random, 0.3)) text += "\n";
  return text;
}

std::string rows_with_times(const Recorded& r, double per_second, int decimals) {
  std::string text;
  for (std::size_t i = 0; i < r.value.size(); ++i) {
    const double t = static_cast<double>(i) * r.step_s() * per_second;
    text += r.line({r.number(t, decimals), r.number(r.value[i], 5)});
  }
  return text;
}

/// Whether a table gives the recorded samples, `step_s` apart.
void require_read(const Recorded& r, const std::string& text, double within_s) {
  INFO(text.substr(0, 300));
  const Reading reading = read_all(scratch_file("export.csv", text));
  INFO(reading.format.kind);
  REQUIRE(reading.value.size() == r.value.size());
  for (std::size_t i = 0; i < r.value.size(); ++i) {
    REQUIRE(std::abs(reading.value[i] - r.value[i]) < 1e-5);
    const double t = reading.format.evenly_sampled
                         ? static_cast<double>(i) / *reading.format.rate_hz
                         : reading.time_s[i];
    REQUIRE(std::abs(t - static_cast<double>(i) * r.step_s()) <= within_s);
  }
  CHECK_FALSE(reading.has("interval_contradicted"));
}

}  // namespace

TEST_CASE("Units by \"in\" are units, and a title is no heading") {
  Random random(101);
  for (int i = 0; i < draws(200); ++i) {
    const Recorded r = recorded(random);
    const bool ms = often(random, 0.5);
    const std::string rows = rows_with_times(r, ms ? 1e3 : 1.0, ms ? 6 : 9);
    const std::string in = ms ? "in ms" : "in s";
    require_read(r, r.line({in, "C1 in V"}) + rows, 1e-8);
    require_read(r, r.line({ms ? "Zeit in ms" : "Zeit in s", "Licht"}) + rows, 1e-8);
    if (ms) continue;
    const std::string title = std::string(one_of(random, {"Waveform export", "Capture 12"}));
    require_read(r, r.line({title, ""}) + rows, 1e-8);
    require_read(r, r.line({title, ""}) + r.line({"Second", "Volt"}) + rows, 1e-8);
    require_read(r, r.line({"Time", "Volt"}) + r.line({title, ""}) + rows, 1e-8);
    const std::string setting = r.line({"Vertical Scale", r.number(0.2, 1)});
    require_read(r, setting + r.line({"Record Length", "2500"}) + "\n" + rows, 1e-8);
    require_read(r, r.line({"Time", "Volt"}) + setting + rows, 1e-8);
  }
}

TEST_CASE("A start and an increment beside the columns give the times of numbered rows") {
  Random random(102);
  for (int i = 0; i < draws(200); ++i) {
    const Recorded r = recorded(random);
    const std::string start = r.exponent(often(random, 0.5) ? 0.0 : -0.05);
    const std::string step = r.exponent(r.step_s());
    const bool above = often(random, 0.5);
    const bool filled_up = often(random, 0.5);
    std::string text = r.line({one_of(random, {"X", "Point"}), "CH1", "Start", "Increment"});
    const char* const numbers = one_of(random, {"Sequence", "#"});
    if (above) {
      text += r.line({numbers, "Volt", start, step});
    } else {
      const bool units = often(random, 0.5);
      text += r.line({numbers, "Volt", units ? "s" : "t0", units ? "s" : "dt"});
    }
    for (std::size_t k = 0; k < r.value.size(); ++k) {
      std::vector<std::string> cells = {std::to_string(k), r.number(r.value[k], 5)};
      if (k == 0 && !above) {
        cells.insert(cells.end(), {start, step});
      } else if (filled_up) {
        cells.insert(cells.end(), {"", ""});
      }
      text += r.line(cells);
    }
    require_read(r, text, 1e-8);
  }
}

TEST_CASE("A stated interval or rate stands in for --rate") {
  Random random(103);
  for (int i = 0; i < draws(400); ++i) {
    const Recorded r = recorded(random);
    std::string text = preamble(r, r.step_s(), random);
    const bool numbered = often(random, 0.5);
    text += numbered ? r.line({"Sample", "Volt"}) : "Volt\n";
    for (std::size_t k = 0; k < r.value.size(); ++k) {
      const std::string value = r.number(r.value[k], 5);
      text += numbered ? r.line({std::to_string(k), value}) : value + "\n";
    }
    require_read(r, text, 1e-8);
  }
}

TEST_CASE("Printed times of few digits are made exact by the interval that is stated") {
  Random random(104);
  for (int i = 0; i < draws(400); ++i) {
    const Recorded r = recorded(random);
    // Down to where some fifty samples share a time.
    const int finest = static_cast<int>(std::ceil(std::log10(r.rate_hz))) + 2;
    const int decimals = std::max(2, finest - static_cast<int>(random() % 4));
    const std::string text = preamble(r, r.step_s(), random) + r.line({"Time (s)", "Volt"}) +
                             rows_with_times(r, 1.0, decimals);
    // The times' own rounding, and no more, leaves the offset open.
    require_read(r, text, std::pow(10.0, -decimals));
    const Reading reading = read_all(scratch_file("export.csv", text));
    const double lasts_s = static_cast<double>(r.value.size() - 1) * r.step_s();
    const double fine_s =
        std::pow(10.0, -decimals) <= 0.1 * r.step_s() ? std::pow(10.0, -decimals) : 1e-8;
    CHECK(std::abs(reading.time_s.back() - lasts_s) <= fine_s);
  }
}

TEST_CASE("A stated interval that the printed times contradict is reported, not believed") {
  Random random(105);
  for (int i = 0; i < draws(400); ++i) {
    const Recorded r = recorded(random);
    static constexpr double wrong[] = {0.1, 0.5, 0.97, 1.03, 1.25, 2.0, 10.0, 1000.0};
    const double step_s = r.step_s() * wrong[random() % std::size(wrong)];
    const int decimals =
        static_cast<int>(std::ceil(std::log10(r.rate_hz))) + static_cast<int>(random() % 3);
    const std::string text = preamble(r, step_s, random) + r.line({"Time (s)", "Volt"}) +
                             rows_with_times(r, 1.0, decimals);
    INFO(text.substr(0, 300));
    const Reading reading = read_all(scratch_file("export.csv", text));
    CHECK(reading.has("interval_contradicted"));
    const double lasts_s = static_cast<double>(r.value.size() - 1) * r.step_s();
    CHECK(std::abs(reading.time_s.back() - lasts_s) <= 1.5 * std::pow(10.0, -decimals));
  }
}

TEST_CASE("Two stated rates without times are not chosen between") {
  const std::string text =
      "Sample Rate,1000,Hz\nSample Interval,0.0005,s\nVolt\n0.1\n0.2\n0.3\n0.4\n0.5\n";
  const std::string refused = complaint(scratch_file("two_rates.csv", text));
  CHECK(refused.find("two sampling rates, 1000 Hz (line 1) and 2000 Hz (line 2)") !=
        std::string::npos);
  CaptureOptions options;
  options.rate_hz = 1000.0;
  CHECK_FALSE(read_all(scratch_file("two_rates.csv", text), options).has("interval_contradicted"));
  options.rate_hz = 4000.0;
  const Reading reading = read_all(scratch_file("two_rates.csv", text), options);
  CHECK(reading.has("interval_contradicted"));
  CHECK(reading.format.rate_hz == 4000.0);
}

TEST_CASE("A column of steps in time is no statement about all of them") {
  std::string text = "t,dt,light\n";
  for (int i = 0; i < 60; ++i)
    text += fmt::format("{:.4f},{:.4f},{}\n", i * 0.001, 0.001 + i * 1e-5, i % 7);
  CaptureOptions options;
  options.value_column = "light";
  CHECK_FALSE(read_all(scratch_file("steps.csv", text), options).has("interval_contradicted"));
}

TEST_CASE("Cells that are blank before the first reading and after the last are passed over") {
  Random random(106);
  for (int i = 0; i < draws(200); ++i) {
    const Recorded r = recorded(random);
    const std::size_t before = random() % (often(random, 0.3) ? 120 : 8);
    const std::size_t after = random() % 8;
    std::string text = r.line({"time_s", "light"});
    if (often(random, 0.3)) text += r.line({"", ""});
    for (std::size_t k = 0; k < r.value.size(); ++k) {
      const bool blank = k < before || k + after >= r.value.size();
      text += r.line(
          {r.number(static_cast<double>(k) * r.step_s(), 9), blank ? "" : r.number(r.value[k], 5)});
    }
    if (often(random, 0.3)) text += r.line({"", ""}) + r.line({"", ""});
    Recorded kept = r;
    kept.value.assign(r.value.begin() + static_cast<std::ptrdiff_t>(before),
                      r.value.end() - static_cast<std::ptrdiff_t>(after));
    require_read(kept, text, 1e-8);
    const Reading reading = read_all(scratch_file("blank.csv", text));
    // A tab at a line's end is blank itself: such rows before the first look like text above it.
    const bool told = after > 0 || (before > 0 && r.separator != '\t');
    CHECK(reading.has("blank_rows_left_out") == told);
  }
}

TEST_CASE("A blank cell between readings is refused at its own line") {
  std::string text = "time_s,light\n0.0,\n";
  for (int i = 1; i < 50; ++i)
    text += fmt::format("{:.1f},{}\n", i * 0.1, i == 20 || i == 21 ? "" : "5");
  const std::string refused = complaint(scratch_file("gap.csv", text));
  CHECK(refused.find("line 22, column 2 (\"light\"): the cell is missing or empty") !=
        std::string::npos);
  CHECK(refused.find("--skip-bad-rows") != std::string::npos);
}
