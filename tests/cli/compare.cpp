#include <filesystem>
#include <set>
#include <string>

#include "cli/contract.hpp"
#include "support/places.hpp"

// compare: captures, clips, saved lights, lines and logs, before and after.

using namespace lampbeat::test;

namespace {

class Kitchen {
 public:
  explicit Kitchen(const std::string& name) : folder_(name) {}

  RunResult run(const std::string& arguments) const {
    return run_command("cd '" + folder_.path() + "' && '" + places::program() + "' " + arguments);
  }
  void must(const std::string& arguments) const {
    const RunResult ran = run(arguments);
    INFO(arguments << "\n" << ran.err);
    REQUIRE(ran.exit_code == 0);
  }
  /// A second of a lamp on 60 Hz mains.
  void lamp(const std::string& file, const std::string& percent, int seed,
            const std::string& hz = "120") const {
    must("synth " + file + " --mains 60 --component " + hz + ":" + percent +
         " --noise 0.3 --rate 20000 --seconds 1.5 --seed " + std::to_string(seed));
  }
  void log(const std::string& capture, const std::string& fixture, const std::string& date,
           const std::string& more = "") const {
    must("measure " + capture + " --log room.jsonl --fixture " + fixture + " --taken " + date +
         " " + more);
  }
  std::vector<Json> compared(const std::string& arguments, int exit_code) const {
    const RunResult ran = run("compare --json " + arguments);
    INFO(arguments << "\n" << ran.err);
    CHECK(ran.exit_code == exit_code);
    return json_lines(ran.out);
  }
  std::string verdict(const std::string& arguments, int exit_code) const {
    const auto all = compared(arguments, exit_code);
    REQUIRE(all.size() == 1);
    return all.front().at("verdict");
  }
  const ScratchFolder& folder() const { return folder_; }

 private:
  ScratchFolder folder_;
};

/// Of its first measurement: the same file named another way is no change.
void lossless(const Kitchen& kitchen) {
  kitchen.lamp("panel.flac", "20", 1);
  kitchen.lamp("panel.wav", "20", 1);
  const auto all = kitchen.compared("panel.wav panel.flac", 0);
  REQUIRE(all.size() == 1);
  CHECK(all[0].at("verdict") == "unchanged");
  CHECK(all[0].at("fixture") == "panel");
  for (const Json& f : all[0].at("figures")) CHECK(f.at("changed") != true);
}

}  // namespace

TEST_CASE("one sound in two containers did not change") {
  const Kitchen kitchen("compare-lossless");
  lossless(kitchen);
}

TEST_CASE("captures, saved lights and lines of one lamp compare alike") {
  const Kitchen kitchen("compare-forms");
  kitchen.lamp("old.wav", "20", 1);
  kitchen.lamp("new.wav", "20", 2);
  kitchen.lamp("deep.wav", "30", 3);
  for (const char* name : {"old", "new", "deep"}) {
    const std::string n = name;
    kitchen.must("measure " + n + ".wav --json --save " + n + ".json > " + n + ".jsonl");
  }
  for (const char* before : {"old.wav", "old.json", "old.jsonl"}) {
    for (const char* ending : {".wav", ".json", ".jsonl"}) {
      INFO(before << " " << ending);
      CHECK(kitchen.verdict(std::string(before) + " new" + ending, 0) == "unchanged");
      CHECK(kitchen.verdict(std::string(before) + " deep" + ending, 1) == "worse");
      CHECK(kitchen.verdict("deep" + std::string(ending) + " " + before, 0) == "better");
    }
  }
  CHECK(kitchen.verdict("old.wav - < new.jsonl", 0) == "unchanged");
  CHECK(kitchen.verdict("old.wav deep.wav new.wav", 0) == "unchanged");  // first against last

  const Json c = kitchen.compared("old.wav deep.jsonl", 1).front();
  CHECK(c.at("schema") == "lampbeat.compare/1");
  CHECK(c.at("before").at("source") == "old.wav");
  CHECK(c.at("after").at("source") == "deep.wav");
  CHECK(c.at("figures").at(0).at("name") == "percent_flicker");
  CHECK(c.at("figures").at(0).at("changed") == true);
  const Json rated = json_lines(kitchen.run("rate --json deep.wav").out).front();
  CHECK(c.at("filming_after") == rated.at("fixtures").at(0).at("filming"));
  CHECK_FALSE(c.at("reasons").empty());
}

TEST_CASE("a light profile that says nothing of its uncertainty proves nothing") {
  const Kitchen kitchen("compare-by-hand");
  kitchen.lamp("new.wav", "20", 2);
  write_file(kitchen.folder().file("hand.json"),
             R"({"schema": "lampbeat.light/1", "mains_hz": 60,
                 "components": [{"hz": 120, "percent": 20, "phase_deg": 0, "mains_order": 2}]})");
  CHECK(kitchen.verdict("hand.json new.wav", 1) == "unknown");
}

TEST_CASE("a log: each fixture's newest line against its first, or its first since a date") {
  const Kitchen kitchen("compare-log");
  kitchen.lamp("fine.wav", "20", 1);
  kitchen.lamp("fine2.wav", "20", 2, "120.04");
  kitchen.lamp("worn.wav", "26", 3);
  // Out of order: the dates count, not the lines.
  kitchen.log("worn.wav", "panel", "2026-11-20");
  kitchen.log("fine.wav", "panel", "2026-10-01");
  kitchen.log("fine.wav", "hood", "2026-10-01");
  kitchen.log("fine2.wav", "hood", "2026-11-20T10:00:00+02:00");
  kitchen.log("fine.wav", "tube", "2026-11-20");
  const auto all = kitchen.compared("room.jsonl", 1);
  REQUIRE(all.size() == 3);
  const auto of = [&](const std::string& name) {
    for (const Json& c : all) {
      if (c.at("fixture") == name) return c;
    }
    FAIL(name);
    return Json();
  };
  CHECK(of("panel").at("verdict") == "worse");
  CHECK(of("panel").at("before").at("at") == "2026-10-01T00:00:00Z");
  CHECK(of("hood").at("verdict") == "unchanged");
  CHECK(of("hood").at("after").at("at") == "2026-11-20T08:00:00Z");
  CHECK(of("tube").at("verdict") == "unknown");
  CHECK(of("tube").at("before").is_null());
  CHECK(kitchen.verdict("room.jsonl --fixture hood", 0) == "unchanged");
  kitchen.log("worn.wav", "panel", "2026-11-21");
  CHECK(kitchen.verdict("room.jsonl --fixture panel --since 2026-11-20", 0) == "unchanged");
  CHECK(kitchen.verdict("room.jsonl --fixture panel --since 2026-11-20T00:00:01Z", 1) == "unknown");
  CHECK(kitchen.verdict("room.jsonl --fixture panel --since 2027-01-01", 1) == "unknown");

  for (const char* date : {"soon", "2026-02-30", "2026-11-20T99:00"}) {
    CHECK(kitchen.run("compare room.jsonl --since " + std::string(date)).exit_code == 2);
  }
  const RunResult slip = kitchen.run("compare room.jsonl --fixture pannel");
  CHECK(slip.exit_code == 2);
  CHECK(mentions(slip.err, "did you mean 'panel'"));
  CHECK(kitchen.run("compare fine.wav worn.wav --since 2026-11-01").exit_code == 2);
}

TEST_CASE("two files of many lines are paired by fixture, and none is lost") {
  const Kitchen kitchen("compare-pairs");
  kitchen.lamp("a.wav", "20", 1);
  kitchen.lamp("b.wav", "10", 2);
  kitchen.lamp("c.wav", "10", 3);
  kitchen.must("measure --json a.wav b.wav > before.jsonl");
  kitchen.must("measure --json a.wav c.wav > after.jsonl");
  const auto all = kitchen.compared("before.jsonl after.jsonl", 1);
  REQUIRE(all.size() == 3);
  CHECK(all[0].at("fixture") == "a");
  CHECK(all[0].at("verdict") == "unchanged");
  CHECK(all[1].at("fixture") == "b");
  CHECK(all[1].at("verdict") == "unknown");
  CHECK(all[1].at("after").is_null());
  CHECK(all[2].at("fixture") == "c");
  CHECK(all[2].at("verdict") == "unknown");
}

TEST_CASE(
    "a line cut off by a crash is left out and said; where it could be the newest it counts") {
  const Kitchen kitchen("compare-torn");
  kitchen.lamp("a.wav", "20", 1);
  kitchen.log("a.wav", "lamp", "2026-11-01");
  const std::string log = kitchen.folder().file("room.jsonl");
  const std::string whole = contents_of(log);
  write_file(log, whole + whole.substr(0, whole.size() / 2));
  const RunResult torn = kitchen.run("compare room.jsonl");
  CHECK(torn.exit_code == 3);
  CHECK(mentions(torn.err, "room.jsonl, line 2"));
  kitchen.log("a.wav", "lamp", "2026-11-02");
  CHECK(line_count(contents_of(log)) == 3);
  const RunResult mended = kitchen.run("compare room.jsonl");
  CHECK(mended.exit_code == 0);
  CHECK(mentions(mended.err, "line 2"));

  write_file(log, whole + R"({"schema":"lampbeat.measure/2","fixture":"lamp"})" + "\n");
  const RunResult newer = kitchen.run("compare room.jsonl");
  CHECK(newer.exit_code == 3);
  CHECK(mentions(newer.err, "newer lampbeat"));
  write_file(log, "\n\n");
  CHECK(kitchen.run("compare room.jsonl").exit_code == 3);
  CHECK(kitchen.run("compare none.jsonl a.wav").exit_code == 3);
  CHECK(kitchen.run("compare a.wav").exit_code == 2);
  CHECK(kitchen.run("compare").exit_code == 2);
}

TEST_CASE("a measurement of another version or set-up is told apart by its line") {
  const Kitchen kitchen("compare-version");
  kitchen.lamp("a.wav", "20", 1);
  kitchen.log("a.wav", "lamp", "2026-11-01");
  kitchen.log("a.wav", "lamp", "2026-11-02");
  kitchen.log("a.wav", "sensor", "2026-11-01");
  kitchen.log("a.wav", "sensor", "2026-11-02", "--sensor-corner 900");
  CHECK(kitchen.verdict("room.jsonl --fixture lamp", 0) == "unchanged");
  const Json sensor = kitchen.compared("room.jsonl --fixture sensor", 1).front();
  CHECK(sensor.at("verdict") == "unknown");
  CHECK(sensor.at("reasons").at(0).at("code") == "set_up_changed");
  const std::string log = kitchen.folder().file("room.jsonl");
  std::string text = contents_of(log);
  const std::string key = "\"measurement_version\":";
  text.replace(text.find(key), key.size() + 1, key + "1");
  write_file(log, text);
  const Json old = kitchen.compared("room.jsonl --fixture lamp", 1).front();
  CHECK(old.at("verdict") == "unknown");
  CHECK(old.at("reasons").at(0).at("code") == "measurement_version_changed");
  CHECK(old.at("figures").at(0).at("changed").is_null());
}

TEST_CASE("clips: deeper bands are worse, a room that stayed clean is unchanged") {
  const Kitchen kitchen("compare-clips");
  const auto clip = [&](const std::string& file, const std::string& light, int seed,
                        const std::string& shot = "--fps 25 --shutter 1/500") {
    kitchen.must("synth " + file + " --mains 60 " + light +
                 " --rows 240 --columns 48 --readout 16ms "
                 "--seconds 3 --seed " +
                 std::to_string(seed) + " " + shot);
  };
  clip("old.y4m", "--rectified 20", 1);
  clip("new.y4m", "--rectified 20", 2);
  clip("deep.y4m", "--rectified 60", 3);
  clip("dark.y4m", "--rectified 0", 4);
  clip("dark2.y4m", "--rectified 0", 5);
  const std::string lit = " --light-hz 120";
  CHECK(kitchen.verdict("old.y4m new.y4m" + lit, 0) == "unchanged");
  const Json worse = kitchen.compared("old.y4m deep.y4m" + lit, 1).front();
  CHECK(worse.at("verdict") == "worse");
  CHECK(worse.at("figures").at(0).at("name") == "band_percent");
  CHECK(worse.at("filming_before").is_null());
  CHECK(kitchen.verdict("deep.y4m old.y4m" + lit, 0) == "better");
  CHECK(kitchen.verdict("old.y4m dark.y4m" + lit, 0) == "better");
  CHECK(kitchen.verdict("dark.y4m old.y4m" + lit, 1) == "worse");
  CHECK(kitchen.verdict("dark.y4m dark2.y4m" + lit, 0) == "unchanged");
  // Nothing known of the light: a clip without bands proves nothing.
  CHECK(kitchen.verdict("old.y4m dark.y4m", 1) == "unknown");
  // Another frame rate is another way of looking.
  clip("fast.y4m", "--rectified 20", 6, "--fps 50 --shutter 1/500");
  CHECK(kitchen.verdict("old.y4m fast.y4m" + lit, 1) == "unknown");
  kitchen.lamp("a.wav", "20", 1);
  CHECK(kitchen.verdict("old.y4m a.wav" + lit, 1) == "unknown");
}

TEST_CASE("a clip that pulses deeper is worse, whatever its bands do") {
  const Kitchen kitchen("compare-pulsing");
  const auto clip = [&](const std::string& file, const std::string& percent, int seed) {
    kitchen.must("synth " + file + " --mains 60 --component 120:" + percent +
                 " --fps 25 --shutter 1/500 --readout global --rows 120 --columns 48 --seconds 3 "
                 "--seed " +
                 std::to_string(seed));
  };
  clip("old.y4m", "10", 1);
  clip("same.y4m", "10", 2);
  clip("deep.y4m", "30", 3);
  for (const std::string lit : {"", " --light-hz 120"}) {
    CAPTURE(lit);
    CHECK(kitchen.verdict("old.y4m deep.y4m" + lit, 1) == "worse");
  }
  const Json same = kitchen.compared("old.y4m same.y4m", 0).front();
  CHECK(same.at("verdict") == "unchanged");
  // Nobody said how it was filmed.
  CHECK(same.at("reasons").back().at("code") == "shutter_taken_alike");
  CHECK(kitchen.compared("old.y4m same.y4m --shutter 1/500", 0).front().at("reasons").size() == 1);
}

TEST_CASE("saved lights tell a new rhythm as the captures do that they are of") {
  const Kitchen kitchen("compare-saved");
  kitchen.lamp("old.wav", "30", 1);
  kitchen.must(
      "synth new.wav --mains 60 --component 120:20 --component 437:9 --noise 0.3 --rate 20000 "
      "--seconds 1.5 --seed 2");
  for (const std::string name : {"old", "new"}) {
    kitchen.must("measure " + name + ".wav --dark 0 --save " + name + ".json");
  }
  CHECK(kitchen.verdict("old.wav new.wav --dark 0", 1) == "worse");
  for (const std::string pair : {"old.json new.json", "old.json new.wav", "old.wav new.json"}) {
    CAPTURE(pair);
    const Json c = kitchen.compared(pair + " --dark 0", 1).front();
    CHECK(c.at("verdict") == "worse");
    CHECK(c.at("reasons").at(0).at("code") == "new_rhythm");
  }
  // Saved before it was written down how much would have been seen.
  Json old = Json::parse(contents_of(kitchen.folder().file("old.json")));
  old["figures"].erase("seen_above_percent");
  write_file(kitchen.folder().file("older.json"), old.dump());
  const Json c = kitchen.compared("older.json new.json", 1).front();
  CHECK(c.at("verdict") == "unknown");
  CHECK(c.at("reasons").at(0).at("code") == "perhaps_new_rhythm");
}

TEST_CASE("the dates of a fixture hold, whatever lines of others lack") {
  const Kitchen kitchen("compare-order");
  kitchen.lamp("deep.wav", "40", 1);
  kitchen.lamp("shallow.wav", "20", 2);
  kitchen.log("deep.wav", "sink", "2026-11-10");
  kitchen.log("shallow.wav", "sink", "2026-11-01");
  CHECK(kitchen.verdict("room.jsonl", 1) == "worse");
  kitchen.must("measure shallow.wav --json >>room.jsonl");
  CHECK(kitchen.verdict("room.jsonl --fixture sink", 1) == "worse");
}

TEST_CASE("lines that say they are of different fixtures are not compared with each other") {
  const Kitchen kitchen("compare-names");
  kitchen.lamp("a.wav", "40", 1);
  kitchen.lamp("b.wav", "20", 2);
  kitchen.log("a.wav", "sink", "2026-11-01");
  kitchen.must("measure b.wav --log other.jsonl --fixture hood");
  for (const Json& c : kitchen.compared("room.jsonl other.jsonl", 1)) {
    CHECK(c.at("verdict") == "unknown");
  }
  kitchen.must("measure b.wav --log again.jsonl --fixture sink");
  CHECK(kitchen.verdict("room.jsonl again.jsonl", 0) == "better");
}

TEST_CASE("the page of a comparison is whole or not there, and never replaces an input") {
  const Kitchen kitchen("compare-page");
  kitchen.lamp("a.wav", "20", 1);
  kitchen.lamp("b.wav", "20", 2);
  kitchen.must("compare a.wav b.wav --report page.html");
  const std::string page = contents_of(kitchen.folder().file("page.html"));
  CHECK(mentions(page, "<svg"));
  CHECK(mentions(page, "unchanged"));
  CHECK(kitchen.run("compare a.wav b.wav --report a.wav").exit_code == 2);
  CHECK(kitchen.run("compare a.wav b.wav --report none/page.html").exit_code == 4);
}

TEST_CASE("what compare prints fits, and leads with the verdict") {
  const Kitchen kitchen("compare-text");
  kitchen.lamp("a.wav", "20", 1);
  kitchen.lamp("b.wav", "30", 2);
  const RunResult ran = kitchen.run("compare a.wav b.wav");
  CHECK(ran.out.rfind("b is worse.", 0) == 0);
  std::istringstream lines(ran.out);
  for (std::string line; std::getline(lines, line);) CHECK(line.size() <= 110);  // bytes
  CHECK(kitchen.run("compare a.wav b.wav --fixture worktop").out.rfind("worktop is worse.", 0) ==
        0);
}

TEST_CASE("two rooms are compared place by place, for one shot") {
  const Kitchen kitchen("compare-rooms");
  const auto room = [&](const std::string& file, const std::string& table, const std::string& wall,
                        double exposure_s) {
    Json document = {{"schema", "lampbeat.room/1"}, {"version", "0"},
                     {"measurement_version", 5},    {"fps", 25.0},
                     {"exposure_s", exposure_s},    {"readout_s", 0.016}};
    const auto place = [](const std::string& name, const std::string& verdict) {
      return Json{{"place", name},
                  {"illuminance_lux", 400.0},
                  {"band_percent", 1.5},
                  {"visibility", 1.0},
                  {"verdict", verdict.empty() ? Json(nullptr) : Json(verdict)}};
    };
    document["places"] = {place("table", table), place("wall", wall)};
    write_file(kitchen.folder().file(file), document.dump() + "\n");
  };
  room("before.json", "borderline", "clean", 0.01);
  room("after.json", "visible", "clean", 0.01);
  room("other.json", "visible", "clean", 0.02);
  room("unjudged.json", "borderline", "", 0.01);
  const auto all = kitchen.compared("before.json after.json", 1);
  REQUIRE(all.size() == 2);
  CHECK(all[0].at("fixture") == "table");
  CHECK(all[0].at("kind") == "place");
  CHECK(all[0].at("verdict") == "worse");
  CHECK(all[0].at("seen_after") == "visible");
  CHECK(all[1].at("verdict") == "unchanged");
  CHECK(kitchen.compared("after.json before.json", 0).front().at("verdict") == "better");
  CHECK(kitchen.compared("before.json other.json", 1).back().at("verdict") == "unknown");
  CHECK(kitchen.compared("before.json unjudged.json", 1).back().at("verdict") == "unknown");
}

TEST_CASE("a place is compared only as it was judged, where it was, and in numbers too") {
  const Kitchen kitchen("compare-places");
  Json room = Json::parse(kitchen.run("room --example").out);
  const std::string shot = " --fps 25 --shutter 1/50 --readout 16ms --json ";
  const auto write = [&](const std::string& file, const Json& changed) {
    write_file(kitchen.folder().file(file), changed.dump());
  };
  const auto judge = [&](const std::string& file, const std::string& more = "") {
    kitchen.must("room " + file + shot + more + " >after.jsonl");
  };
  write("room.json", room);
  kitchen.must("room room.json" + shot + ">before.jsonl");
  const auto verdicts = [&] {
    std::set<std::string> seen;
    for (const Json& c : kitchen.compared("before.jsonl after.jsonl", 1)) {
      seen.insert(c.at("verdict").get<std::string>());
    }
    return seen;
  };
  const std::set<std::string> unknown = {"unknown"};
  for (const std::string other :
       {"--clock-tolerance 0.01", "--mains 50", "--viewing-distance 20", "--playback 60"}) {
    CAPTURE(other);
    judge("room.json", other);
    CHECK(verdicts() == unknown);
  }
  Json moved = room;
  moved["places"][0]["at_m"][0] = 1.0;
  write("moved.json", moved);
  judge("moved.json");
  CHECK(verdicts() == std::set<std::string>{"unknown", "unchanged"});
}

TEST_CASE("bands much deeper under the same word are worse") {
  const Kitchen kitchen("compare-deeper-place");
  Json room = {{"size_m", {6, 5, 3}}, {"mains_hz", 60}, {"reflected_share", 0.0}};
  const auto lamp = [](const char* name, const char* typical, double lumens) {
    return Json{{"name", name}, {"typical", typical}, {"at_m", {3, 2, 3}}, {"lumens", lumens}};
  };
  room["places"] = {{{"name", "table"}, {"at_m", {3, 2, 1}}}};
  const auto judged = [&](double lumens, const std::string& file) {
    room["fixtures"] = {lamp("tube", "tube-magnetic", lumens), lamp("window", "daylight", 3000)};
    write_file(kitchen.folder().file("room.json"), room.dump());
    kitchen.must("room room.json --fps 25 --shutter 1/500 --readout 16ms --json >" + file);
  };
  judged(3000, "before.jsonl");
  judged(30000, "after.jsonl");
  const Json c = kitchen.compared("before.jsonl after.jsonl", 1).front();
  CHECK(c.at("seen_before") == c.at("seen_after"));
  CHECK(c.at("verdict") == "worse");
  CHECK(kitchen.verdict("before.jsonl before.jsonl", 0) == "unchanged");
}

TEST_CASE("a fixture's captures and its clips are compared by themselves in one log") {
  const Kitchen kitchen("compare-mixed");
  kitchen.must(
      "synth wall.y4m --mains 60 --rectified 20 --fps 25 --shutter 1/500 --rows 240 "
      "--columns 48 --readout 16ms --seconds 2");
  kitchen.lamp("a.wav", "20", 1);
  kitchen.log("a.wav", "wall", "2026-11-01");
  kitchen.must(
      "footage wall.y4m --light-hz 120 --log room.jsonl --fixture wall --taken 2026-11-02");
  kitchen.log("a.wav", "wall", "2026-11-03");
  kitchen.must(
      "footage wall.y4m --light-hz 120 --log room.jsonl --fixture wall --taken 2026-11-04");
  const auto all = kitchen.compared("room.jsonl", 0);
  REQUIRE(all.size() == 2);
  CHECK(all[0].at("kind") == "light");
  CHECK(all[1].at("kind") == "clip");
}
