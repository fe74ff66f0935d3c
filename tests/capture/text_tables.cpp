#include <cmath>
#include <numbers>
#include <string>

#include <fmt/format.h>

#include "support/catch.hpp"
#include "support/read_all.hpp"
#include "support/scratch.hpp"

namespace {

using lampbeat::CaptureOptions;
using lampbeat::test::complaint;
using lampbeat::test::read_all;
using lampbeat::test::Reading;
using lampbeat::test::scratch_file;

constexpr int rows = 300;
constexpr double step_s = 5e-5;

double light(int i) {
  return 0.25 * (1.0 + 0.2 * std::sin(2.0 * std::numbers::pi * 120.0 * i * step_s));
}

std::string with_comma(std::string number) {
  for (char& c : number) {
    if (c == '.') c = ',';
  }
  return number;
}

/// How one exporter writes its table.
struct Style {
  std::string name;
  std::string before;  ///< everything above the rows
  std::string separator;
  bool decimal_comma;
  double per_second;
  int time_decimals;
  std::string line_end = "\n";
  std::string row_begin = {};
  std::string row_end = {};
  bool quoted = false;
};

std::string table(const Style& style) {
  std::string text = style.before;
  for (int i = 0; i < rows; ++i) {
    std::string time = fmt::format("{:.{}f}", i * step_s * style.per_second, style.time_decimals);
    std::string value = fmt::format("{:.6f}", light(i));
    if (style.decimal_comma) {
      time = with_comma(time);
      value = with_comma(value);
    }
    if (style.quoted) {
      time = fmt::format("\"{}\"", time);
      value = fmt::format("\"{}\"", value);
    }
    text += style.row_begin + time + style.separator + value + style.row_end + style.line_end;
  }
  return text;
}

const std::vector<Style> styles = {
    {"comma", "time_s,light\n", ",", false, 1, 5},
    {"no_heading", "", ",", false, 1, 5},
    {"comma_and_blank", "time_s, light\n", ", ", false, 1, 5},
    {"semicolon_decimal_comma", "Zeit (ms);Licht\r\n", ";", true, 1e3, 2, "\r\n"},
    {"semicolon_decimal_point", "t [s];v\n", ";", false, 1, 5},
    {"tab", "Time\tLight\n", "\t", false, 1, 5},
    {"tab_decimal_comma", "temps_us\tlux\n", "\t", true, 1e6, 1},
    {"blank", "time (s)  light (V)\n", "   ", false, 1, 5, "\n", "  "},
    {"blank_decimal_comma", "", " ", true, 1, 5},
    {"milliseconds", "time_ms,light\n", ",", false, 1e3, 2},
    {"milliseconds_camel", "timeMs,light\n", ",", false, 1e3, 2},
    {"milliseconds_function", "millis(),light\n", ",", false, 1e3, 2},
    {"microseconds", "t (us),light\n", ",", false, 1e6, 0},
    {"microseconds_sign", "t/\xC2\xB5s,light\n", ",", false, 1e6, 0},
    {"microseconds_greek", "t [\xCE\xBCs],light\n", ",", false, 1e6, 0},
    {"microseconds_latin1", "t in \xB5s,light\n", ",", false, 1e6, 0},
    {"microseconds_bare", "micros,light\n", ",", false, 1e6, 0},
    {"nanoseconds", "Time [ns],light\n", ",", false, 1e9, 0},
    {"seconds_word", "Seconds,Volts\n", ",", false, 1, 5},
    {"units_row", "Time,Channel A\n(ms),(mV)\n\n", ",", false, 1e3, 2},
    {"scope_preamble",
     "Model,bench scope\nRecord Length,300,Points\nSample "
     "Interval,5e-05,s\n\nx-axis,1\nsecond,Volt\n",
     ",", false, 1, 5},
    {"scope_side_by_side", "", ",", false, 1, 5, "\n", ",,,", ","},
    {"comments", "# worktop strip at half level\n# sensor 20 cm below\ntime_s,light\n", ",", false,
     1, 5},
    {"heading_in_comment", "# time_us,light\n", ",", false, 1e6, 0},
    {"byte_order_mark", "\xEF\xBB\xBFtime_ms;light\n", ";", false, 1e3, 2},
    {"return_only", "time_s,light\r", ",", false, 1, 5, "\r"},
    {"crlf", "time_s,light\r\n", ",", false, 1, 5, "\r\n"},
    {"double_return", "time_s,light\r\r\n", ",", false, 1, 5, "\r\r\n"},
    {"trailing_separator", "time_s,light,\n", ",", false, 1, 5, "\n", "", ","},
    {"trailing_blanks", "time_s,light\n", ",", false, 1, 5, "\n", "", "  "},
    {"quoted", "\"time, in ms\",\"light, V\"\n", ",", false, 1e3, 2, "\n", "", "", true},
    {"quoted_decimal_comma", "\"time_ms\",\"light\"\n", ",", true, 1e3, 2, "\n", "", "", true},
    {"plus_signs", "time_s,light\n", ",+", false, 1, 5, "\n", "+"},
};

}  // namespace

TEST_CASE("However a table is written, the same times and values come out") {
  for (const Style& style : styles) {
    INFO(style.name);
    const Reading reading = read_all(scratch_file(style.name + ".csv", table(style)));
    INFO(reading.format.kind);
    REQUIRE(reading.value.size() == rows);
    REQUIRE(reading.time_s.size() == rows);
    CHECK_FALSE(reading.format.evenly_sampled);
    CHECK_FALSE(reading.format.rate_hz.has_value());
    CHECK_FALSE(reading.format.sound_file);
    CHECK(reading.findings.empty());
    for (int i = 0; i < rows; ++i) {
      const auto at = static_cast<std::size_t>(i);
      REQUIRE(std::abs(reading.time_s[at] - i * step_s) < 1e-12);
      REQUIRE(std::abs(reading.value[at] - light(i)) <= 0.5000001e-6);
    }
  }
}

TEST_CASE("The kind says how the table was read") {
  const auto kind = [](const Style& style) {
    return read_all(scratch_file("kind.csv", table(style))).format.kind;
  };
  CHECK(kind(styles[0]) == "text table, comma-separated, times in s");
  CHECK(kind(styles[3]) == "text table, semicolon-separated, decimal comma, times in ms");
}

TEST_CASE("Numbers are read correctly rounded, in every notation") {
  const std::string path =
      scratch_file("notations.csv",
                   "time_s,v\n0,1e-3\n1e-3,.5\n2.0E-03,5.\n+0.003,-0.1234567890123456789\n"
                   "0.00400000000000000001,+7\n0.005,9007199254740993\n0.006,0.1\n0.007,1e-400\n"
                   "1234567890123456789e-20,-0\n");
  const Reading reading = read_all(path);
  REQUIRE(reading.value.size() == 9);
  const double expected[] = {1e-3, .5,  5.,  -0.1234567890123456789, 7, 9007199254740993.0,
                             0.1,  0.0, -0.0};
  for (std::size_t i = 0; i < 9; ++i) CHECK(reading.value[i] == expected[i]);
  CHECK(reading.time_s[2] == 2.0e-3);
  CHECK(reading.time_s[4] == 0.004);
  CHECK(reading.time_s[8] == 1234567890123456789e-20);
}

TEST_CASE("Values alone are evenly sampled at the given rate") {
  CaptureOptions options;
  options.rate_hz = 1000.0;
  for (const char* text : {"light\n1.5\n2.5\n3.5\n", "1.5\n2.5\n3.5", "Licht\n1,5\n2,5\n3,5\n",
                           "sample,light\n0,1.5\n1,2.5\n2,3.5\n", "0,1.5\n1,2.5\n2,3.5\n",
                           "\"light\"\n\"1.5\"\n\"2.5\"\n\"3.5\"\n", "1.5,\n2.5,\n3.5,\n"}) {
    INFO(text);
    const Reading reading = read_all(scratch_file("values.csv", text), options);
    CHECK(reading.format.evenly_sampled);
    CHECK(reading.format.rate_hz == 1000.0);
    CHECK(reading.time_s.empty());
    CHECK(reading.value == std::vector<double>{1.5, 2.5, 3.5});
  }
}

TEST_CASE("Times win over a rate given beside them, and it is said") {
  CaptureOptions options;
  options.rate_hz = 999.0;
  const Reading reading = read_all(scratch_file("both.csv", "time_ms,v\n0,1\n2,2\n4,3\n"), options);
  CHECK(reading.time_s == std::vector<double>{0.0, 0.002, 0.004});
  CHECK(reading.has("rate_ignored"));
}

TEST_CASE("Columns are chosen by name or number, and a silent choice is reported") {
  const std::string path =
      scratch_file("three.csv", "n,time_us,left,right\n0,0,1,10\n1,500,2,20\n2,1000,3,30\n");
  Reading reading = read_all(path);
  CHECK(reading.value == std::vector<double>{1, 2, 3});
  CHECK(reading.time_s == std::vector<double>{0.0, 0.0005, 0.001});
  CHECK(reading.message("column_assumed").find("column 3 (\"left\")") != std::string::npos);

  CaptureOptions options;
  options.value_column = std::string("RIGHT");
  reading = read_all(path, options);
  CHECK(reading.value == std::vector<double>{10, 20, 30});
  CHECK_FALSE(reading.has("column_assumed"));
  options.value_column = std::string("4");
  options.time_column = std::string("time_us");
  reading = read_all(path, options);
  CHECK(reading.value == std::vector<double>{10, 20, 30});
  CHECK(reading.time_s.back() == 0.001);

  options.value_column = std::string("centre");
  CHECK(complaint(path, options)
            .find(fmt::format("UsageError: {}: there is no column \"centre\"", path)) == 0);
  options.value_column = std::string("9");
  CHECK(complaint(path, options).find("no column 9") != std::string::npos);
  options.value_column = std::string("0");
  CHECK(complaint(path, options).find("counts columns from 1") != std::string::npos);
  options.value_column = std::string("2");
  CHECK(complaint(path, options).find("the same column 2") != std::string::npos);
}

TEST_CASE("Columns of words do not matter when others are chosen") {
  const std::string path = scratch_file(
      "words.csv", "clock,lux,where\n18:20:01,310,hob\n18:20:02,312,hob\n18:20:03,309,hob\n");
  CaptureOptions options;
  options.value_column = std::string("lux");
  options.rate_hz = 1.0;
  CHECK(read_all(path, options).value == std::vector<double>{310, 312, 309});
}

TEST_CASE("Settings written beside the first readings do not hide them") {
  std::string text;
  for (int i = 0; i < 60; ++i) {
    text += i == 0 ? "Record Length,2.5e3,," : i == 1 ? "Source,CH1,," : ",,,";
    text += fmt::format("{:.5f},{:.6f},\n", i * step_s, light(i));
  }
  const Reading reading = read_all(scratch_file("side_by_side.csv", text));
  REQUIRE(reading.value.size() == 60);
  CHECK(reading.value.front() == Approx(light(0)).margin(1e-6));
}

TEST_CASE("Comments, blank lines and empty rows between readings are passed over") {
  const Reading reading = read_all(scratch_file(
      "pauses.csv", "time_s,v\n0,1\n# dimmed a little\n0.001,2\n\n0.002,3\n,\n  \n0.003,4\n"));
  CHECK(reading.value == std::vector<double>{1, 2, 3, 4});
}

TEST_CASE("A decimal comma may first come late") {
  std::string text = "time_ms;v\n";
  for (int i = 0; i < 500; ++i) text += fmt::format("{};{}\n", i, i < 400 ? "512" : "512,5");
  const Reading reading = read_all(scratch_file("late_comma.csv", text));
  REQUIRE(reading.value.size() == 500);
  CHECK(reading.value[399] == 512.0);
  CHECK(reading.value[400] == 512.5);
}

TEST_CASE("Times start at the first sample, whatever the logger's clock said") {
  const Reading reading =
      read_all(scratch_file("late_start.csv", "time_us,v\n5000000,1\n5000250,2\n5000500,3\n"));
  CHECK(reading.time_s == std::vector<double>{0.0, 0.00025, 0.0005});
}

TEST_CASE("A part is chosen by seconds from the first sample, and starts at its own zero") {
  const std::string path = scratch_file("part.csv", table(styles[0]));
  CaptureOptions options;
  options.from_s = 0.005;
  options.for_s = 0.0025;
  const Reading reading = read_all(path, options);
  REQUIRE(reading.value.size() == 50);
  CHECK(reading.value.front() == Approx(light(100)).margin(1e-6));
  CHECK(reading.time_s.front() == 0.0);
  CHECK(reading.time_s.back() == Approx(49 * step_s));
  options.from_s = 0.2;
  CHECK(complaint(path, options).find("it ends after 0.01495 s") != std::string::npos);
  options.from_s = 0.0;
  options.for_s = 1e-5;
  CHECK(complaint(path, options).find("only one row") != std::string::npos);

  options.rate_hz = 1000.0;
  options.from_s = 0.001;
  options.for_s = 0.002;
  CHECK(read_all(scratch_file("part_rate.csv", "1\n2\n3\n4\n5\n"), options).value ==
        std::vector<double>{2, 3});
}

TEST_CASE("A microsecond counter that begins anew at 2^32 is carried on") {
  for (const bool in_seconds : {false, true}) {
    std::string text = in_seconds ? "time_s,v\n" : "time_us,v\n";
    for (std::uint64_t i = 0; i < 1000; ++i) {
      const std::uint64_t counter = (4294967296ULL - 300000 + i * 500) % 4294967296ULL;
      text += in_seconds ? fmt::format("{}.{:06},{}\n", counter / 1000000, counter % 1000000, i % 9)
                         : fmt::format("{},{}\n", counter, i % 9);
    }
    const Reading reading = read_all(scratch_file("wrap.csv", text));
    REQUIRE(reading.time_s.size() == 1000);
    for (std::size_t i = 0; i < 1000; ++i) {
      REQUIRE(std::abs(reading.time_s[i] - static_cast<double>(i) * 500e-6) < 2e-9);
    }
    CHECK(reading.message("counter_wrapped").find("line 602") != std::string::npos);
    CHECK_FALSE(reading.has("missing_samples"));
  }
}

TEST_CASE("A restart is not taken for a counter that begins anew") {
  const std::string path = scratch_file(
      "restart.csv", "time_us,v\n3000000000,1\n3000000500,2\n3000001000,3\n120,4\n620,5\n");
  CHECK(complaint(path).find("line 5: time goes back") != std::string::npos);
}

TEST_CASE("Rows written twice are kept and counted") {
  std::string text = "time_us,v\n";
  for (int i = 0; i < 100; ++i) {
    for (int twice = 0; twice < 1 + (i == 17 || i == 63); ++twice) {
      text += fmt::format("{},{}\n", i * 500 + (i * 7919) % 101, i);
    }
  }
  const Reading reading = read_all(scratch_file("repeats.csv", text));
  CHECK(reading.value.size() == 102);
  CHECK(reading.message("repeated_times").find("2 rows repeat") == 0);
  CHECK(reading.message("repeated_times").find("line 20") != std::string::npos);
  CHECK_FALSE(reading.has("missing_samples"));
  CHECK_FALSE(reading.has("coarse_clock"));
}

TEST_CASE("Missing samples are counted, and the longest gap is placed") {
  std::string text = "time_us,v\n";
  for (int i = 0; i < 20000; ++i) {
    if (i == 700 || (i >= 9000 && i < 9040)) continue;
    text += fmt::format("{},{}\n", i * 100, i % 7);
  }
  const Reading reading = read_all(scratch_file("gaps.csv", text));
  const std::string message = reading.message("missing_samples");
  INFO(message);
  CHECK(message.find("About 41 samples are missing in 2 gaps") == 0);
  CHECK(message.find("0.0041 s, from 0.8999 s on (line 9001)") != std::string::npos);
  CHECK_FALSE(reading.has("repeated_times"));
}

TEST_CASE("Jitter and the rounding of printed times are not gaps") {
  unsigned state = 12345;
  const auto uniform = [&] {
    state = state * 1664525u + 1013904223u;
    return static_cast<double>(state >> 8) / 16777216.0 - 0.5;
  };
  std::string jittered = "time_us,v\n";
  std::string rounded = "time_ms,v\n";
  for (int i = 0; i < 20000; ++i) {
    jittered += fmt::format("{:.0f},1\n", 1000.0 + 500.0 * (i + 0.6 * uniform()));
    rounded += fmt::format("{:.0f},1\n", std::floor(i * 1000.0 / 700.0));
  }
  CHECK(read_all(scratch_file("jitter.csv", jittered)).findings.empty());
  const Reading whole_ms = read_all(scratch_file("rounded.csv", rounded));
  CHECK(whole_ms.has("coarse_clock"));
  CHECK_FALSE(whole_ms.has("missing_samples"));
}

TEST_CASE("A gap outside the wanted part is not reported") {
  std::string text = "time_ms,v\n";
  for (int i = 0; i < 300; ++i) {
    if (i < 50 || i >= 60) text += fmt::format("{},1\n", i);
  }
  CaptureOptions options;
  options.from_s = 0.1;
  CHECK(read_all(scratch_file("early_gap.csv", text), options).findings.empty());
}

TEST_CASE("Times without a unit that make an absurd rate are pointed out") {
  std::string text = "time,v\n";
  for (int i = 0; i < 50; ++i) text += fmt::format("{},1\n", i * 500);
  const Reading reading = read_all(scratch_file("unitless.csv", text));
  CHECK(reading.message("time_unit_assumed").find("time_us") != std::string::npos);
  CHECK(reading.time_s[1] == 500.0);
}

TEST_CASE("A last line without its end counts when it is complete") {
  CHECK(read_all(scratch_file("no_end.csv", "time_s,v\n0,1\n0.1,2\n0.2,3")).value.size() == 3);
}

TEST_CASE("A line that never ends is refused in bounded memory") {
  std::string text = "time_s,v\n0,1\n0.001,2\n0.002,";
  text.append(3'000'000, '7');
  CHECK(complaint(scratch_file("long_line.csv", text))
            .find("line 4 (from byte 21 on) is longer than 1 MiB") != std::string::npos);
  CHECK(complaint(scratch_file("one_long_line.csv", std::string(3'000'000, 'x')))
            .find("line 1 does not end within 256 KiB") != std::string::npos);
}

TEST_CASE("Neither times nor a rate: the message tells the way out") {
  const std::string path = scratch_file("two.csv", "left,right\n3,1\n1,2\n2,3\n");
  const std::string message = complaint(path);
  INFO(message);
  CHECK(message.find("UsageError") == 0);
  CHECK(message.find("--rate HZ") != std::string::npos);
  CHECK(message.find("--time COL") != std::string::npos);
  CHECK(message.find("\"left\", \"right\"") != std::string::npos);
}

TEST_CASE("A column that only counts is not taken for brightness, and it is said") {
  for (const char* heading :
       {"time_s,frame,level\n", "time_s,picture,level\n", "time_s,k,level\n"}) {
    std::string text = heading;
    for (int i = 0; i < 100; ++i) {
      const int frame = i + (i > 60 ? 3 : 0);  // some were lost
      text += fmt::format("{:.4f},{},{}\n", i / 2000.0, frame, 100 + (i * 37) % 11);
    }
    const Reading reading = read_all(scratch_file("frames.csv", text));
    REQUIRE(reading.value.size() == 100);
    CHECK(reading.value[1] == 104.0);
  }
  std::string text = "time_s,picture,level\n";
  for (int i = 0; i < 100; ++i) text += fmt::format("{:.4f},{},{}\n", i / 2000.0, i, (i * 37) % 11);
  const Reading reading = read_all(scratch_file("frames.csv", text));
  CHECK(reading.message("column_assumed").find("Column 2 (\"picture\") only counts") == 0);
  CaptureOptions options;
  options.value_column = "picture";
  CHECK(read_all(scratch_file("frames.csv", text), options).value[5] == 5.0);
}
