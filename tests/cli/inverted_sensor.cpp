// A sensor that reads lower in more light, read with --invert.

#include <cmath>

#include <fmt/format.h>

#include "cli/contract.hpp"

using namespace lampbeat::test;

namespace {

bool warned_of(const Json& m, const std::string& code) {
  for (const Json& warning : m["warnings"]) {
    if (warning["code"] == code) return true;
  }
  return false;
}

/// 71.4 % of flicker: 1 for a quarter of each cycle, 1/6 for the rest; upside down below `dark`.
std::string rows(double dark) {
  std::string text = "time_s,value\n";
  for (int i = 0; i < 20000; ++i) {
    const double t = i / 10000.0;
    const double turns = 120.03 * t;
    const double light = turns - std::floor(turns) < 0.25 ? 1.0 : 1.0 / 6.0;
    text += fmt::format("{:.6f},{:.6f}\n", t, dark - light + 1e-4 * std::sin(7919.0 * t));
  }
  return text;
}

}  // namespace

TEST_CASE("a sensor that reads lower in more light is turned over") {
  const ScratchFolder folder("inverted");
  const std::string table = folder.file("lamp.csv");
  write_file(table, rows(3.3));
  const Json m = answer("measure " + table + " --invert --dark 3.3");
  CHECK(m["percent_flicker"].get<double>() == Approx(71.43).margin(0.2));
  CHECK(m["mean"].get<double>() == Approx(0.375).margin(0.001));

  // Around its mean, as a sound card gives it.
  write_file(table, rows(0.375));
  const Json upright = answer("measure " + table + " --invert --mean 0.375");
  CHECK(upright["percent_flicker"].get<double>() ==
        Approx(71.43).margin(3.0 * upright["percent_flicker_uncertainty"].get<double>()));
  CHECK(upright["percent_flicker_uncertainty"].get<double>() < 10.0);
  CHECK_FALSE(warned_of(upright, "polarity_unknown"));
  const Json wrong = answer("measure " + table + " --mean 0.375 --upright");
  CHECK_FALSE((wrong["percent_flicker"].is_number() && warned_of(wrong, "polarity_unknown")));
  const Json unsure = answer("measure " + table + " --mean 0.375");
  CHECK(warned_of(unsure, "polarity_unknown"));
  if (unsure["percent_flicker"].is_number()) {
    CHECK(std::abs(unsure["percent_flicker"].get<double>() - 71.43) <
          2.5 * unsure["percent_flicker_uncertainty"].get<double>());
  }
}

TEST_CASE("a lamp on rectified mains tells by its corners that it stands upside down") {
  const ScratchFolder folder("corners");
  const std::string table = folder.file("lamp.csv");
  const auto write = [&](bool inverted, double floor, double hz, double start) {
    std::string text = "time_s,value\n";
    for (int i = 0; i < 20000; ++i) {
      const double t = i / 10000.0;
      const double light = floor + std::abs(std::sin(3.14159265 * hz * t + start));
      text += fmt::format("{:.6f},{:.6f}\n", t,
                          (inverted ? 3.3 - light : light) + 1e-3 * std::sin(7919.0 * t));
    }
    write_file(table, text);
  };
  for (const double start : {0.2, 1.1, 2.6}) {
    for (const double floor : {0.1, 0.5, 1.5}) {
      const double hz = start > 1.0 ? 119.97 : 100.02;
      CAPTURE(start, floor);
      write(true, floor, hz, start);
      CHECK(warned_of(answer("measure " + table), "polarity_unknown"));
      CHECK_FALSE(warned_of(answer("measure " + table + " --upright"), "polarity_unknown"));
      CHECK_FALSE(
          warned_of(answer("measure " + table + " --invert --dark 3.3"), "polarity_unknown"));
      write(false, floor, hz, start);
      CHECK_FALSE(warned_of(answer("measure " + table), "polarity_unknown"));
    }
  }
}

TEST_CASE(
    "a line at the mains frequency itself is said to be perhaps hum, and stays in the figures") {
  const ScratchFolder folder("hum");
  const auto write = [&](const std::string& name, double lamp, double level, double hum) {
    std::string text = "time_s,value\n";
    for (int i = 0; i < 20000; ++i) {
      const double t = i / 10000.0;
      const double x = 3.14159265 * 100.04 * t;
      text += fmt::format("{:.6f},{:.6f}\n", t,
                          level + lamp * std::abs(std::sin(x)) + hum * std::sin(x + 1.0) +
                              1e-3 * std::sin(7919.0 * t));
    }
    write_file(folder.file(name), text);
    return folder.file(name);
  };
  const std::string humming = write("hum.csv", 0.6, 0.4, 0.02);
  const Json m = answer("measure " + humming);
  CHECK(warned_of(m, "hum_suspected"));
  bool kept = false;
  for (const Json& c : m["components"]) kept = kept || c["mains_order"] == 1;
  CHECK(kept);
  CHECK_FALSE(warned_of(answer("measure " + write("clean.csv", 0.6, 0.4, 0.0)), "hum_suspected"));
  const std::string dark = write("dark.csv", 0.0, 0.0, 0.02);
  const Json told = answer("measure " + humming + " --dark " + dark);
  CHECK_FALSE(warned_of(told, "hum_suspected"));
  CHECK(warned_of(told, "hum_taken_out"));
  // A sound card's recording, which knows no mean.
  CHECK(warned_of(answer("measure " + write("coupled.csv", 0.6, -0.382, 0.03)), "hum_suspected"));
}
