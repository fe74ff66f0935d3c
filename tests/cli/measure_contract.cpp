#include <fmt/format.h>

#include "cli/contract.hpp"

// One light, known in closed form, through every kind of file and table the command reads. Its
// extremes and mean deviation were taken from a million points of one cycle (NumPy).

using namespace lampbeat::test;

namespace {

constexpr double light_hz = 120.03;
constexpr double pi = 3.14159265358979323846;

double light(double t_s) {
  const double turn = 2.0 * pi * light_hz * t_s;
  return 0.4 * (1.0 + 0.3 * std::cos(turn + 0.7) + 0.1 * std::cos(2.0 * turn - 1.1));
}

struct Exact {
  double percent_flicker = 0.0;
  double flicker_index = 0.0;
};

Exact exact_figures() {
  constexpr int steps = 200000;
  double lowest = 1e9;
  double highest = 0.0;
  double deviation = 0.0;
  for (int i = 0; i < steps; ++i) {
    const double e = light(i / (light_hz * steps));
    lowest = std::min(lowest, e);
    highest = std::max(highest, e);
    deviation += std::abs(e - 0.4);
  }
  return {100.0 * (highest - lowest) / (highest + lowest), 0.5 * deviation / steps / 0.4};
}

void require_the_light(const Json& m, double start_s = 0.0) {
  const Exact exact = exact_figures();
  CHECK(std::abs(m["percent_flicker"].get<double>() - exact.percent_flicker) < 0.35);
  CHECK(std::abs(m["flicker_index"].get<double>() - exact.flicker_index) < 0.004);
  CHECK(std::abs(m["dominant_hz"].get<double>() - light_hz) < 0.004);
  CHECK(std::abs(m["mains_hz"].get<double>() - light_hz / 2.0) < 0.004);
  CHECK(std::abs(m["mean"].get<double>() - 0.4) < 0.0004);
  REQUIRE(m["components"].size() >= 2);
  const double phases_rad[] = {0.7 + 2.0 * pi * light_hz * start_s,
                               -1.1 + 4.0 * pi * light_hz * start_s};
  const double percents[] = {30.0, 10.0};
  for (std::size_t i = 0; i < 2; ++i) {
    const Json& c = m["components"][i];
    CHECK(c["hz"].get<double>() == Approx(light_hz * static_cast<double>(i + 1)).margin(0.01));
    CHECK(c["percent"].get<double>() == Approx(percents[i]).margin(0.1));
    CHECK(std::abs(std::remainder(c["phase_deg"].get<double>() - phases_rad[i] * 180.0 / pi,
                                  360.0)) < 1.0);
    CHECK(c["mains_order"] == static_cast<int>(2 * (i + 1)));
  }
}

struct TableKind {
  const char* name;
  const char* heading;
  const char* separator;
  double unit_s;
  bool decimal_comma;
};

std::string table(const TableKind& kind) {
  std::string text = kind.heading;
  const auto cell = [&](std::string number) {
    if (kind.decimal_comma) std::replace(number.begin(), number.end(), '.', ',');
    return number;
  };
  for (int i = 0; i < three_seconds; ++i) {
    const double t_s = i / sampling_hz;
    text += cell(fmt::format("{:.9g}", t_s / kind.unit_s)) + kind.separator +
            cell(fmt::format("{:.7f}", light(t_s))) + "\n";
  }
  return text;
}

}  // namespace

TEST_CASE("measure --json has every key with its type, and unknown is null") {
  const ScratchFolder folder("keys");
  write_file(folder.file("a.wav"), wav_of_floats({sampled(light)}));
  const Json m = answer("measure " + folder.file("a.wav"));
  CHECK(m["schema"] == "lampbeat.measure/1");
  CHECK(m["capture"].is_string());
  CHECK(m["samples"] == three_seconds);
  for (const char* key :
       {"rate_hz", "duration_s", "mean", "percent_flicker", "percent_flicker_raw", "flicker_index",
        "dominant_hz", "dominant_hz_uncertainty", "mains_hz", "noise_percent", "svm"}) {
    INFO(key);
    CHECK(m[key].is_number());
  }
  REQUIRE(m.contains("pst_lm"));
  CHECK(m["pst_lm"].is_null());
  for (const char* cut_off : {"40", "90", "200", "400", "1000"}) {
    CHECK(m["lowpass_percent"][cut_off].is_number());
  }
  CHECK(m["ieee1789"]["level"] == "above low risk");
  CHECK(m["ieee1789"]["low_risk_limit_percent"].is_number());
  CHECK(m["ieee1789"]["no_effect_limit_percent"].is_number());
  for (const Json& warning : m["warnings"]) {
    CHECK(warning["code"].is_string());
    CHECK(warning["message"].is_string());
  }
}

TEST_CASE("measure reads the same light from a file, a pipe and a chosen channel") {
  const ScratchFolder folder("ways-in");
  const std::vector<double> wanted = sampled(light);
  const std::vector<double> other =
      sampled([](double t_s) { return 0.3 + 0.2 * std::cos(2.0 * pi * 100.0 * t_s); });
  write_file(folder.file("a.wav"), wav_of_floats({wanted}));
  write_file(folder.file("two.wav"), wav_of_floats({other, wanted}));
  require_the_light(answer("measure " + folder.file("a.wav")));
  require_the_light(answer("measure - <" + folder.file("a.wav")));
  require_the_light(answer("measure --channel 2 " + folder.file("two.wav")));
  require_the_light(answer("measure --channel 2 - <" + folder.file("two.wav")));
  const Json part = answer("measure --from 0.25 --for 2 " + folder.file("a.wav"));
  CHECK(part["samples"] == 40000);
  require_the_light(part, 0.25);
}

TEST_CASE("measure reads the same light from tables of every separator and time unit") {
  const ScratchFolder folder("tables");
  for (const TableKind& kind :
       {TableKind{"commas, seconds", "time,light\n", ",", 1.0, false},
        TableKind{"semicolons, decimal commas", "t [ms];v [mV]\n", ";", 1e-3, true},
        TableKind{"tabs, microseconds", "micros\tadc\n", "\t", 1e-6, false},
        TableKind{"blanks, no heading", "", "   ", 1.0, false},
        TableKind{"nanoseconds under a preamble", "# logger\n\ntime (ns),adc\n", ",", 1e-9, false},
        TableKind{"a row of units", "Time,Channel A\n(us),(V)\n\n", ",", 1e-6, false}}) {
    INFO(kind.name);
    write_file(folder.file("a.csv"), table(kind));
    require_the_light(answer("measure " + folder.file("a.csv")));
    require_the_light(answer("measure - <" + folder.file("a.csv")));
  }
  std::string values = "light\n";
  for (const double v : sampled(light)) values += fmt::format("{:.7f}\n", v);
  write_file(folder.file("values.csv"), values);
  require_the_light(answer("measure --rate 20000 " + folder.file("values.csv")));
}

TEST_CASE("measure takes the dark level and the true mean, and needs them where they lack") {
  const ScratchFolder folder("levels");
  write_file(folder.file("raised.wav"),
             wav_of_floats({sampled([](double t_s) { return light(t_s) + 0.1; })}));
  write_file(folder.file("dark.wav"), wav_of_floats({std::vector<double>(20000, 0.1)}));
  write_file(folder.file("ac.wav"),
             wav_of_floats({sampled([](double t_s) { return light(t_s) - 0.4; })}));
  require_the_light(answer("measure --dark 0.1 " + folder.file("raised.wav")));
  require_the_light(
      answer("measure --dark " + folder.file("dark.wav") + " " + folder.file("raised.wav")));
  require_the_light(answer("measure --mean 0.4 " + folder.file("ac.wav")));
  const Json without = answer("measure " + folder.file("ac.wav"));
  CHECK(without["percent_flicker"].is_null());
  CHECK(without["flicker_index"].is_null());
  CHECK(without["svm"].is_null());
  CHECK(without["lowpass_percent"]["200"].is_null());
  CHECK(without["dominant_hz"].get<double>() == Approx(light_hz).margin(0.004));
  CHECK(without["warnings"][0]["code"] == "no_dc_level");
}

TEST_CASE("measure does the rest of a batch when one capture is of no use") {
  const ScratchFolder folder("batch");
  write_file(folder.file("a.wav"), wav_of_floats({sampled(light, 20000)}));
  write_file(folder.file("untimed.csv"), "light\n1\n2\n1\n2\n");
  const std::string good = folder.file("a.wav");
  for (const std::string& bad : {folder.file("missing.wav"), folder.file("untimed.csv")}) {
    const RunResult run = run_lampbeat("measure --json " + good + " " + bad + " " + good);
    CHECK(run.exit_code == 3);
    CHECK(json_lines(run.out).size() == 2);
    CHECK(mentions(run.err, bad));
  }
}

TEST_CASE("measure hands a batch over in the order it was named, whatever takes longest") {
  const ScratchFolder folder("order");
  std::string named;
  std::vector<std::string> paths;
  for (const int seconds : {8, 1, 3, 1, 6, 1, 1, 2}) {
    const std::string path = folder.file(fmt::format("{}.wav", paths.size()));
    write_file(path, wav_of_floats({sampled(light, seconds * 20000)}));
    paths.push_back(path);
    named += " " + path;
  }
  const RunResult run = run_lampbeat("measure --json" + named);
  CHECK(run.exit_code == 0);
  const auto lines = json_lines(run.out);
  REQUIRE(lines.size() == paths.size());
  for (std::size_t i = 0; i < paths.size(); ++i) {
    CHECK(lines[i]["capture"] == paths[i]);
    const RunResult alone = run_lampbeat("measure --json " + paths[i]);
    CHECK(json_lines(alone.out).front() == lines[i]);
  }
}

TEST_CASE("measure --limit ends with 1 only above the limit") {
  const ScratchFolder folder("limit");
  write_file(folder.file("a.wav"), wav_of_floats({sampled(light, 20000)}));
  CHECK(run_lampbeat("measure --limit 50 " + folder.file("a.wav")).exit_code == 0);
  CHECK(run_lampbeat("measure --limit 10 " + folder.file("a.wav")).exit_code == 1);
}

TEST_CASE("a clock that wandered in a capture is reckoned with by predict, shutters and rate") {
  const ScratchFolder folder("wandering");
  // 400 Hz going to and fro by 2 % in nine seconds.
  std::vector<double> lamp;
  for (int i = 0; i < 12 * 20000; ++i) {
    const double t_s = i / 20000.0;
    const double turns = 400.0 * (t_s - 0.02 * 9.0 / (2.0 * pi) * std::cos(2.0 * pi * t_s / 9.0));
    lamp.push_back(0.4 + 0.1 * std::cos(2.0 * pi * turns));
  }
  const std::string capture = folder.file("dimmer.wav");
  const std::string profile = folder.file("dimmer.json");
  write_file(capture, wav_of_floats({lamp}));
  const Json m = answer("measure --save " + profile + " " + capture);
  const auto told = std::any_of(m["warnings"].begin(), m["warnings"].end(),
                                [](const Json& w) { return w["code"] == "clock_wanders"; });
  CHECK(told);
  const double spread = m["clock_spread_percent"].get<double>();
  CHECK(spread > 0.9);
  CHECK(spread < 3.0);
  const std::string camera = " --fps 25 --readout 16ms";
  for (const std::string& light : {profile, capture}) {
    const Json p = answer("predict --light " + light + camera + " --shutter 1/50");
    CHECK(p["clock_tolerance_percent"].get<double>() == Approx(3.0 * spread).epsilon(1e-6));
    const Json s = answer("shutters --light " + light + camera);
    CHECK(s["clock_tolerance_percent"].get<double>() == Approx(3.0 * spread).epsilon(1e-6));
  }
  // A line of measure --json says as much to rate as the capture itself.
  write_file(folder.file("lines.jsonl"), run_lampbeat("measure --json " + capture).out);
  const Json direct = answer("rate " + capture);
  const Json lines = answer("rate " + folder.file("lines.jsonl"));
  CHECK(direct["fixtures"][0]["shortest_clean_exposure_s"] ==
        lines["fixtures"][0]["shortest_clean_exposure_s"]);
  CHECK(direct["fixtures"][0]["filming"] == lines["fixtures"][0]["filming"]);
}
