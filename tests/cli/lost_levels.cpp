#include <cmath>
#include <numbers>
#include <string>
#include <vector>

#include "cli/contract.hpp"
#include "support/scratch.hpp"

// Lights whose depth nobody measured: a frequency alone, and recordings that lost their mean.

using namespace lampbeat::test;

namespace {

constexpr double pi = std::numbers::pi;

double level(double t_s) { return 0.4 + 0.12 * std::cos(2 * pi * 120.0 * t_s); }

/// As a sound card without a level records it.
std::vector<double> without_level(int count = three_seconds) {
  return sampled([](double t_s) { return level(t_s) - 0.4; }, count);
}

std::string ac_file(const ScratchFolder& folder) {
  write_file(folder.file("ac.wav"), wav_of_floats({without_level()}));
  return folder.file("ac.wav");
}

/// A first-order high-pass of 6 Hz on a light that a hand covers between 2 s and 3 s and between
/// 5 s and 6 s.
std::vector<double> covered(double sign) {
  const double kept = std::exp(-2.0 * pi * 6.0 / sampling_hz);
  std::vector<double> out(180000);
  double before = level(0.0);
  double now_level = 0.0;
  for (std::size_t i = 0; i < out.size(); ++i) {
    const double t_s = static_cast<double>(i) / sampling_hz;
    const bool hand = (t_s > 2.0 && t_s < 3.0) || (t_s > 5.0 && t_s < 6.0);
    const double now = hand ? 0.0 : level(t_s);
    now_level = kept * (now_level + now - before);
    before = now;
    out[i] = sign * now_level;
  }
  return out;
}

}  // namespace

TEST_CASE("a frequency alone is judged, in predict and shutters") {
  const Json clean =
      answer("predict --light-hz 120 --mains 60 --mains-tolerance 0 --fps 30 --shutter 1/60");
  CHECK(clean["verdict"] == "clean");
  CHECK(clean["worst"]["verdict"] == "clean");
  CHECK(clean["lights"][0]["depth"] == "assumed deepest");
  CHECK(clean["mains_hz"] == 60.0);
  const Json banded = answer("predict --light-hz 120 --fps 30 --shutter 1/50");
  // Two flashes or three: a fifth of their sum.
  CHECK(banded["band_percent"].get<double>() == Approx(20.0));
  CHECK(banded["verdict"] == "strong");
  const Json free = answer("predict --light-hz 400:0.4 --light-hz 120:0.6 --fps 30 --shutter 1/60");
  CHECK(free["lights"].size() == 2);
  CHECK(free["lights"][0]["mains_hz"].is_null());
  CHECK(free["lights"][1]["share"].get<double>() == Approx(0.6));
  const Json plan = answer("shutters --light-hz 120 --mains 60 --fps 30");
  CHECK(plan["lights"][0]["depth"] == "assumed deepest");
  std::vector<std::string> first;
  for (int i = 0; i < 4; ++i)
    first.push_back(plan["settings"][static_cast<std::size_t>(i)]["label"]);
  CHECK(std::count(first.begin(), first.end(), "1/60") == 1);
  CHECK(std::count(first.begin(), first.end(), "1/120") == 1);
  const RunResult text = run_lampbeat("predict --light-hz 120 --fps 30 --shutter 1/50");
  CHECK(mentions(text.out, "depth not known: judged at the deepest this light can be"));
}

TEST_CASE("a light by its frequency refuses what is no frequency") {
  for (const char* bad : {"0", "-120", "abc", "120:0", "120:x", "1e9", "nan", ":0.5", "''"}) {
    const RunResult run =
        run_lampbeat(std::string("predict --fps 30 --shutter 1/60 --light-hz=") + bad);
    INFO(bad << ": " << run.err);
    CHECK(run.exit_code == 2);
    CHECK(run.out.empty());
    CHECK_FALSE(run.err.empty());
  }
}

TEST_CASE("a limit holds a frequency alone to its worst case") {
  CHECK(run_lampbeat("predict --light-hz 120 --mains-tolerance 0 --fps 30 --shutter 1/60 --limit 1")
            .exit_code == 0);
  CHECK(run_lampbeat("predict --light-hz 120 --fps 30 --shutter 1/60 --limit 1").exit_code == 1);
  CHECK(run_lampbeat("shutters --light-hz 120 --fps 30 --limit 1").exit_code == 1);
}

TEST_CASE("a frequency for which nothing is proven safe asks to be measured, not changed") {
  const ScratchFolder folder("unproven");
  const std::string card = folder.file("card.html");
  const RunResult any = run_lampbeat("shutters --light-hz 100 --fps 25 --report " + card);
  CHECK(mentions(any.out, "At 25 fps no shutter is clean for every light this frequency could be"));
  CHECK(mentions(any.out, "1/50 s lasts whole cycles"));
  CHECK(mentions(contents_of(card), "No shutter is proven safe: measure this light"));
  const RunResult tube =
      run_lampbeat("shutters --typical tube-magnetic --fps 240 --readout 4ms --report " + card);
  CHECK(mentions(tube.out, "No shutter is clean at 240 fps; for 180° the lights may flicker by"));
  CHECK(mentions(contents_of(card), "No safe shutter here: change the light"));
}

TEST_CASE("nothing but noise is not told as a light that lost its mean") {
  const ScratchFolder folder("unlit");
  write_file(folder.file("zeros.wav"), wav_of_floats({std::vector<double>(three_seconds, 0.0)}));
  const RunResult zeros = run_lampbeat("measure " + folder.file("zeros.wav"));
  CHECK(mentions(zeros.out, "Nothing but noise or zeros was recorded."));
  const RunResult lit = run_lampbeat("measure " + ac_file(folder));
  CHECK(mentions(lit.out, "the light's average level is lost"));
  CHECK_FALSE(mentions(lit.out, "Nothing but noise"));
}

TEST_CASE("what is clean as measured and not at worst is not told as nothing to see") {
  const std::string shot = "predict --typical led-pwm --fps 25 --shutter 1/50 --readout 16ms";
  CHECK(mentions(run_lampbeat(shot).out, "none as measured; see the worst case below"));
  const RunResult held = run_lampbeat(shot + " --clock-tolerance 0");
  CHECK(mentions(held.out, "nothing left to see"));
  CHECK(mentions(held.out, "whole frames stay equally bright"));
}

TEST_CASE("a recording without its mean is taken wherever a light is") {
  const ScratchFolder folder("lost");
  const std::string ac = ac_file(folder);
  write_file(folder.file("dc.wav"), wav_of_floats({sampled(level)}));
  const Json assumed = answer("predict --fps 30 --shutter 1/50 --light " + ac);
  const Json known = answer("predict --fps 30 --shutter 1/50 --light " + folder.file("dc.wav"));
  CHECK(assumed["lights"][0]["depth"] == "assumed deepest");
  CHECK(known["lights"][0]["depth"] == "measured");
  CHECK(answer("predict --fps 30 --shutter 1/50 --typical sodium")["lights"][0]["depth"] ==
        "typical");
  CHECK(assumed["band_percent"].get<double>() > 3.0 * known["band_percent"].get<double>());
  const Json plan = answer("shutters --fps 30 --light " + ac);
  CHECK(plan["settings"][0]["verdict"] == "clean");
  CHECK(plan["settings"][0]["label"] == "1/60");
  CHECK(run_lampbeat("shutters --fps 30 --light " + ac + " --report " + folder.file("card.html"))
            .exit_code == 0);
  CHECK(mentions(contents_of(folder.file("card.html")), "Depth not known"));

  const RunResult measured = run_lampbeat("measure " + ac + " --save " + folder.file("ac.json") +
                                          " --report " + folder.file("page.html"));
  CHECK(measured.exit_code == 0);
  CHECK(mentions(measured.out, "can still be judged, as if the light"));
  const Json saved = Json::parse(contents_of(folder.file("ac.json")));
  CHECK(saved["depth"] == "assumed deepest");
  const Json again = answer("predict --fps 30 --shutter 1/50 --light " + folder.file("ac.json"));
  CHECK(again["lights"][0]["depth"] == "assumed deepest");
  CHECK(again["band_percent"].get<double>() ==
        Approx(assumed["band_percent"].get<double>()).epsilon(1e-6));
  write_file(folder.file("line.jsonl"), run_lampbeat("measure --json " + ac).out);
  for (const std::string& light : {ac, folder.file("ac.json"), folder.file("line.jsonl")}) {
    INFO(light);
    const Json rated = answer("rate " + light);
    REQUIRE(rated["fixtures"].size() == 1);
    CHECK(rated["fixtures"][0]["percent_flicker"].is_null());
    CHECK(rated["fixtures"][0]["filming"] == "matched shutters only");
  }
  CHECK(run_lampbeat("measure --limit 50 " + ac).exit_code == 1);
}

TEST_CASE("a profile that says something strange of its depth is refused") {
  const ScratchFolder folder("strange");
  const std::string head = R"({"schema":"lampbeat.light/1","components":[],)";
  int n = 0;
  for (const char* bad :
       {R"("depth":"bottomless"})", R"("depth":3})", R"("any_waveform":"yes"})"}) {
    const std::string path = folder.file(std::to_string(n++) + ".json");
    write_file(path, head + bad);
    const RunResult run = run_lampbeat("predict --fps 30 --shutter 1/50 --light " + path);
    INFO(bad << run.err);
    CHECK(run.exit_code == 3);
    CHECK(mentions(run.err, path));
  }
}

TEST_CASE("covering the sensor while it records gives a recording its depth") {
  const ScratchFolder folder("covered");
  write_file(folder.file("up.wav"), wav_of_floats({covered(1.0)}));
  write_file(folder.file("down.wav"), wav_of_floats({covered(-1.0)}));
  const Json up = answer("measure " + folder.file("up.wav"));
  CHECK(up["percent_flicker"].get<double>() == Approx(30.0).margin(1.0));
  CHECK(up["percent_flicker_uncertainty"].get<double>() > 0.2);
  CHECK(up["warnings"][0]["code"] == "mean_from_covering");
  const Json down = answer("measure " + folder.file("down.wav"));
  CHECK(down["percent_flicker"].is_null());
  CHECK(down["warnings"][0]["code"] == "polarity_unknown");
  const Json turned = answer("measure --invert " + folder.file("down.wav"));
  CHECK(turned["percent_flicker"].get<double>() == Approx(30.0).margin(1.0));
  const Json predicted = answer("predict --fps 30 --shutter 1/50 --light " + folder.file("up.wav"));
  CHECK(predicted["lights"][0]["depth"] == "measured");
}

TEST_CASE("a reference lamp of known percent flicker gives a recording its depth") {
  const ScratchFolder folder("reference");
  const std::string ac = ac_file(folder);
  // A lamp of 20 %, half as bright, at another rate.
  write_file(
      folder.file("reference.wav"),
      wav_of_floats({sampled([](double t_s) { return 0.2 * 0.2 * std::cos(2 * pi * 100.0 * t_s); },
                             88200, 44100.0)},
                    44100));
  const std::string reference = " --reference-lamp " + folder.file("reference.wav");
  const Json m = answer("measure " + ac + reference + " --reference-percent 20 --level-ratio 2");
  CHECK(m["percent_flicker"].get<double>() == Approx(30.0).epsilon(0.01));
  CHECK(m["warnings"][0]["code"] == "mean_from_reference");
  const Json same = answer("measure " + ac + reference + " --reference-percent 20");
  CHECK(same["percent_flicker"].get<double>() == Approx(60.0).epsilon(0.01));

  write_file(folder.file("steady.wav"), wav_of_floats({std::vector<double>(20000, 0.1)}));
  const std::vector<std::string> wrong = {
      reference,
      " --reference-percent 20",
      " --level-ratio 2",
      reference + " --reference-percent 0",
      reference + " --reference-percent 120",
      reference + " --reference-percent 20 --level-ratio 0",
      reference + " --reference-percent 20 --mean 0.4",
      " --reference-lamp - --reference-percent 20",
  };
  for (const std::string& options : wrong) {
    const RunResult run = run_lampbeat("measure " + ac + options);
    INFO(options << "\n" << run.err);
    CHECK(run.exit_code == 2);
    CHECK_FALSE(run.err.empty());
  }
  const RunResult none = run_lampbeat(
      "measure " + ac + " --reference-percent 20 --reference-lamp " + folder.file("steady.wav"));
  CHECK(none.exit_code == 3);
  CHECK(mentions(none.err, "steady.wav"));
  CHECK(run_lampbeat("measure " + ac + " --reference-percent 20 --reference-lamp " +
                     folder.file("missing.wav"))
            .exit_code == 3);
}
