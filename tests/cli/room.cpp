#include <algorithm>
#include <fstream>

#include "cli/contract.hpp"
#include "support/places.hpp"

// `lampbeat room` as a person uses it: the room file and its faults, the answer, the exit codes.

using namespace lampbeat::test;

namespace {

const std::string shot = " --fps 25 --shutter 1/50 --readout 16ms";

/// A small room with one steady and one rippled fixture, and two places.
Json small_room() {
  return Json::parse(R"({
    "mains_hz": 60, "size_m": [5, 4, 2.6], "reflected_share": 0.4,
    "fixtures": [
      {"name": "panel", "typical": "led-rippled", "at_m": [1, 2, 2.6], "lumens": 2000},
      {"name": "window", "typical": "daylight", "at_m": [5, 2, 1.5], "aim": [-1, 0, 0],
       "lumens": 4000}],
    "places": [
      {"name": "table", "at_m": [1, 2, 0.8]},
      {"name": "sill", "at_m": [4.9, 2, 0.8], "facing": [-1, 0, 0]}]})");
}

class RoomFolder {
 public:
  explicit RoomFolder(const std::string& name) : folder_(name) {}
  std::string file(const std::string& name) const { return folder_.file(name); }
  std::string room(const Json& room) const {
    std::ofstream(file("room.json"), std::ios::binary) << room.dump();
    return file("room.json");
  }

 private:
  ScratchFolder folder_;
};

void require_refused(const RoomFolder& folder, const Json& room,
                     const std::vector<std::string>& named) {
  const RunResult run = run_lampbeat("room " + folder.room(room) + shot);
  INFO(run.err);
  CHECK(run.exit_code == 3);
  CHECK(run.out.empty());
  CHECK(mentions(run.err, "room.json"));
  for (const std::string& words : named) CHECK(mentions(run.err, words));
}

}  // namespace

TEST_CASE("the starter is a room file that runs as it stands") {
  const RoomFolder folder("room-example");
  const RunResult example = run_lampbeat("room --example");
  REQUIRE(example.exit_code == 0);
  const Json starter = Json::parse(example.out);
  const Json room = answer("room " + folder.room(starter) + shot);
  CHECK(room["schema"] == "lampbeat.room/1");
  CHECK(room["places"].size() == starter["places"].size());
  for (const Json& place : room["places"]) {
    double sum = 0.0;
    for (const Json& s : place["shares"]) sum += s["share"].get<double>();
    CHECK(sum == Approx(1.0));
    CHECK(place["illuminance_lux"] > 0.0);
    CHECK_FALSE(place["best"].empty());
    const bool clean = place["verdict"] == "clean";
    CHECK(place["change"].is_null() == clean);
  }
  const Json& map = room["map"];
  CHECK(map["height_m"] == 1.0);
  REQUIRE(map["visibility"].size() == map["y_m"].size());
  REQUIRE(map["visibility"][0].size() == map["x_m"].size());
  CHECK(map["illuminance_lux"].size() == map["y_m"].size());
  const RunResult text = run_lampbeat("room " + folder.file("room.json") + shot);
  CHECK(text.exit_code == 0);
  CHECK(mentions(text.out, "no photometric design"));
  CHECK(mentions(text.out, "licensed"));
  for (const Json& place : room["places"]) {
    CHECK(mentions(text.out,
                   place["place"].get<std::string>() + ": " + place["verdict"].get<std::string>()));
  }
}

TEST_CASE("one fixture in a room is judged as predict judges its profile") {
  const RoomFolder folder("room-one");
  const std::string wav = folder.file("w.wav");
  REQUIRE(run_lampbeat("synth " + wav + " --mains 60 --rectified 45 --seconds 2").exit_code == 0);
  REQUIRE(run_lampbeat("measure " + wav + " --save " + folder.file("panel.json")).exit_code == 0);
  Json room = small_room();
  room["fixtures"].erase(1);
  room["fixtures"][0].erase("typical");
  room["fixtures"][0]["profile"] = "panel.json";  // beside the room file
  const Json place = answer("room " + folder.room(room) + shot)["places"][0];
  const Json alone =
      answer("predict --mains 60 --light " + folder.file("panel.json") + shot)["worst"];
  CHECK(place["visibility"].get<double>() == Approx(alone["visibility"].get<double>()));
  CHECK(place["band_percent"].get<double>() == Approx(alone["band_percent"].get<double>()));
  CHECK(place["verdict"] == alone["verdict"]);
  // A capture will do as well.
  room["fixtures"][0]["profile"] = "w.wav";
  const Json captured = answer("room " + folder.room(room) + shot)["places"][0];
  CHECK(captured["visibility"].get<double>() == Approx(alone["visibility"].get<double>()));
}

TEST_CASE("a limit is held against the worst case of every place") {
  const RoomFolder folder("room-limit");
  const std::string room = folder.room(small_room());
  const RunResult strict = run_lampbeat("room " + room + shot + " --limit 0.01");
  CHECK(strict.exit_code == 1);
  CHECK(mentions(strict.err, "'table'"));
  CHECK(run_lampbeat("room " + room + shot + " --limit 99").exit_code == 0);
  Json dark = small_room();
  dark["reflected_share"] = 0;
  dark["places"][0]["facing"] = "down";
  const RunResult unlit = run_lampbeat("room " + folder.room(dark) + shot + " --limit 99");
  CHECK(unlit.exit_code == 1);
  CHECK(mentions(unlit.err, "no light of the room falls on it"));
  const Json place = answer("room " + folder.file("room.json") + shot)["places"][0];
  CHECK(place["visibility"].is_null());
  CHECK(place["verdict"].is_null());
  CHECK(place["warnings"][0]["code"] == "no_light");
  Json empty = small_room();
  empty.erase("places");
  CHECK(run_lampbeat("room " + folder.room(empty) + shot).exit_code == 0);
  CHECK(run_lampbeat("room " + folder.file("room.json") + shot + " --limit 99").exit_code == 1);
}

TEST_CASE("a camera's mode gives frame rate, readout and the shutters to choose from") {
  const RoomFolder folder("room-camera");
  const std::string camera =
      " --camera '" + places::sources() + "/captures/kitchen-cam.json' --mode 'Film 24'";
  const Json room = answer("room " + folder.room(small_room()) + camera);
  CHECK(room["fps"] == 24.0);
  CHECK(room["readout_s"] == 0.024);
  CHECK(room["shutter_deg"].get<double>() == Approx(180.0));  // the dial's own nearest to it
  for (const Json& best : room["places"][0]["best"]) {
    CHECK(best["label"].get<std::string>().find("°") != std::string::npos);
  }
  CHECK(run_lampbeat("room " + folder.file("room.json") + " --fps 25").exit_code == 2);
  CHECK(run_lampbeat("room " + folder.file("room.json") + " --shutter 1/50").exit_code == 2);
  CHECK(run_lampbeat("room" + shot).exit_code == 2);
  CHECK(run_lampbeat("room " + folder.file("room.json") + shot + " --height 3").exit_code == 2);
}

TEST_CASE("a room is judged in another country by --mains") {
  const RoomFolder folder("room-mains");
  const std::string room = folder.room(small_room());
  CHECK(answer("room " + room + shot)["mains_hz"] == 60.0);
  const Json abroad = answer("room " + room + shot + " --mains 50");
  CHECK(abroad["mains_hz"] == 50.0);
  CHECK(abroad["places"][0]["verdict"] == "clean");
  Json unsaid = small_room();
  unsaid.erase("mains_hz");
  require_refused(folder, unsaid, {"mains_hz", "--mains"});
}

TEST_CASE("faults of a room file are named by fixture, place and key") {
  const RoomFolder folder("room-faults");
  const auto with = [](const char* pointer, Json value) {
    Json room = small_room();
    room[Json::json_pointer(pointer)] = std::move(value);
    return room;
  };
  const auto without = [](const char* list, std::size_t index, const char* key) {
    Json room = small_room();
    room[list][index].erase(key);
    return room;
  };
  require_refused(folder, with("/fixtures/0/lumens", 0),
                  {"fixture 'panel'", "\"lumens\"", "above 0"});
  require_refused(folder, with("/fixtures/0/lumens", "bright"), {"fixture 'panel'", "\"lumens\""});
  require_refused(folder, without("fixtures", 0, "lumens"), {"fixture 'panel'", "\"lumens\""});
  require_refused(folder, with("/fixtures/1/dim", 1.5), {"fixture 'window'", "\"dim\""});
  require_refused(folder, with("/fixtures/0/dim", -0.1), {"fixture 'panel'", "\"dim\""});
  require_refused(folder, with("/fixtures/0/half_angle_deg", 95), {"\"half_angle_deg\""});
  require_refused(folder, with("/fixtures/0/at_m", {1, 2, 2.7}),
                  {"fixture 'panel'", "\"at_m\"", "outside the room"});
  require_refused(folder, with("/fixtures/0/at_m", {1, 2}), {"fixture 'panel'", "\"at_m\""});
  require_refused(folder, with("/fixtures/0/length_m", 1.2), {"fixture 'panel'", "\"along\""});
  require_refused(folder, with("/fixtures/0/bare", true), {"fixture 'panel'", "\"along\""});
  require_refused(folder, with("/fixtures/0/aim", {0, 0, 0}), {"fixture 'panel'", "\"aim\""});
  require_refused(folder, with("/fixtures/0/phase", "L4"), {"fixture 'panel'", "\"phase\"", "L1"});
  require_refused(folder, with("/fixtures/0/typical", "led-ripple"),
                  {"fixture 'panel'", "\"typical\"", "led-rippled"});
  require_refused(folder, with("/fixtures/0/profile", "none.json"), {"fixture 'panel'", "both"});
  require_refused(folder, without("fixtures", 0, "typical"), {"fixture 'panel'", "\"profile\""});
  require_refused(folder, with("/fixtures/0/lumen", 5), {"fixture 'panel'", "\"lumens\"?"});
  require_refused(folder, with("/fixtures/1/name", "panel"), {"two fixtures", "'panel'"});
  require_refused(folder, without("fixtures", 1, "name"), {"fixture 2", "\"name\""});
  require_refused(folder, with("/fixtures", Json::array()), {"\"fixtures\""});
  require_refused(folder, with("/places/0/at_m", {6, 2, 0.8}), {"place 'table'", "\"at_m\""});
  require_refused(folder, with("/places/1/facing", "sideways"), {"place 'sill'", "\"facing\""});
  require_refused(folder, with("/size_m", {5, 4, 2600}), {"\"size_m\"", "2600"});
  require_refused(folder, with("/size_m", {600, 500, 300}), {"\"size_m\"", "centimetres"});
  require_refused(folder, with("/size_m", {5, 201, 3}), {"\"size_m\"", "201", "centimetres"});
  require_refused(folder, with("/size_m", {5, 4, 51}), {"\"size_m\"", "51", "centimetres"});
  require_refused(folder, with("/size_m", {5, 4, 0}), {"\"size_m\""});
  require_refused(folder, with("/reflected_share", 0.96), {"\"reflected_share\""});
  require_refused(folder, with("/fixtures/0/name", ""), {"fixture 1", "must not be empty"});
  require_refused(folder, with("/mains_hz", 5), {"\"mains_hz\""});
  require_refused(folder, with("/schema", "lampbeat.camera/1"), {"lampbeat.room-file"});
  require_refused(folder, with("/schema", "lampbeat.room-file/2"), {"newer"});
  require_refused(folder, Json::array(), {"room file"});
  Json missing = without("fixtures", 0, "typical");
  missing["fixtures"][0]["profile"] = "none.json";
  require_refused(folder, missing, {"fixture 'panel'", "none.json"});
  Json crowded = small_room();
  for (int i = 0; i < 1001; ++i) crowded["places"].push_back(crowded["places"][0]);
  require_refused(folder, crowded, {"more than 1000 places"});
}

TEST_CASE("keys of somebody else's are told of and left aside") {
  const RoomFolder folder("room-keys");
  Json room = small_room();
  room["colour_of_walls"] = "white";
  room["fixtures"][0]["comment"] = {"any", "thing"};
  const Json result = answer("room " + folder.room(room) + shot);
  const auto told = std::count_if(result["warnings"].begin(), result["warnings"].end(),
                                  [](const Json& w) { return w["code"] == "unknown_key"; });
  CHECK(told == 1);
}

TEST_CASE("a number no computer holds and a key written twice are faults of the file") {
  const RoomFolder folder("room-json");
  const auto refused = [&](const std::string& from, const std::string& to,
                           const std::vector<std::string>& named) {
    std::string text = small_room().dump(1);
    const std::size_t at = text.find(from);
    REQUIRE(at != std::string::npos);
    text.replace(at, from.size(), to);
    std::ofstream(folder.file("room.json"), std::ios::binary) << text;
    const RunResult run = run_lampbeat("room " + folder.file("room.json") + shot);
    INFO(run.err);
    CHECK(run.exit_code == 3);
    CHECK(mentions(run.err, "room.json"));
    for (const std::string& words : named) CHECK(mentions(run.err, words));
  };
  refused("\"lumens\": 2000", "\"lumens\": 1e999", {"line ", "1e999"});
  refused("\"lumens\": 2000", "\"lumens\": 2000, \"lumens\": 1",
          {"\"lumens\" is written twice", "entry 1 of \"fixtures\""});
  refused("\"mains_hz\": 60", "\"mains_hz\": 60, \"mains_hz\": 50", {"\"mains_hz\""});
  refused("\"lumens\": 2000", "\"lumens\": " + std::string(100000, '['), {"nested deeper"});
  // So they are in every file of that kind.
  const std::string wav = folder.file("w.wav");
  const std::string light = folder.file("l.json");
  REQUIRE(run_lampbeat("synth " + wav + " --mains 50 --component 100:20 --seconds 1").exit_code ==
          0);
  REQUIRE(run_lampbeat("measure " + wav + " --save " + light).exit_code == 0);
  std::string text = contents_of(light);
  text.replace(text.find("\"hz\": ") + 6, 1, " 1e999, \"was\": ");
  std::ofstream(light, std::ios::binary) << text;
  const RunResult run = run_lampbeat("predict --light " + light + shot);
  INFO(run.err);
  CHECK(run.exit_code == 3);
  CHECK(mentions(run.err, "l.json, line "));
}

TEST_CASE("a picture on standard output is all there is on it") {
  const RoomFolder folder("room-stdout");
  const std::string room = folder.room(small_room());
  const std::string png_end = "IEND\xAE\x42\x60\x82";  // the last chunk of a PNG, with its check
  const RunResult map = run_lampbeat("room " + room + shot + " --map -");
  REQUIRE(map.exit_code == 0);
  CHECK(map.out.substr(1, 3) == "PNG");
  CHECK(map.out.substr(map.out.size() - png_end.size()) == png_end);
  const std::string page = run_lampbeat("room " + room + shot + " --report -").out;
  CHECK(mentions(page.substr(page.size() - 12), "</html>"));
  const std::string predict = "predict --typical led-rippled --mains 50" + shot;
  const std::string picture = run_lampbeat(predict + " --picture -").out;
  CHECK(picture.substr(picture.size() - png_end.size()) == png_end);
  for (const std::string& two :
       {"room " + room + shot + " --map - --report -", "room " + room + shot + " --map - --json",
        predict + " --report - --json"}) {
    const RunResult run = run_lampbeat(two);
    CHECK(run.exit_code == 2);
    CHECK(run.out.empty());
    CHECK(mentions(run.err, "standard output"));
  }
}

TEST_CASE("the schema of room files takes what the program takes") {
  const RoomFolder folder("room-schema");
  const std::string check = "/usr/bin/python3 '" + places::sources() +
                            "/tests/report/check_schema.py' '" + places::sources() +
                            "/src/report/schemas/room-file.schema.json' '";
  const auto agree = [&](const char* pointer, const Json& value, bool good) {
    Json room = small_room();
    room[Json::json_pointer(pointer)] = value;
    const std::string file = folder.room(room);
    INFO(pointer << " " << value);
    CHECK(run_lampbeat("room " + file + shot).exit_code == (good ? 0 : 3));
    const RunResult schema = run_command(check + file + "'");
    if (schema.exit_code != 77) CHECK(schema.exit_code == (good ? 0 : 1));
  };
  agree("/fixtures/0/phase", "l3", true);
  agree("/fixtures/0/phase", "L4", false);
  agree("/fixtures/0/dim", nullptr, true);
  agree("/fixtures/0/profile", nullptr, true);
  agree("/places/0/facing", nullptr, true);
  agree("/reflected_share", nullptr, true);
  agree("/reflected_share", 0.95, true);
  agree("/reflected_share", 0.96, false);
  agree("/size_m", {200, 200, 50}, true);
  agree("/size_m", {200, 200, 51}, false);
}
