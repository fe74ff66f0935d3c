#include <algorithm>
#include <string>

#include "lampbeat/html.hpp"
#include "lampbeat/text.hpp"
#include "lampbeat/text_style.hpp"
#include "report/room_values.hpp"
#include "support/catch.hpp"

using namespace lampbeat;

TEST_CASE("a place that is clean only as far as was measured is not called clean without reserve") {
  RoomResult room = example::kitchen();
  const auto clean = std::find_if(room.places.begin(), room.places.end(), [](const PlaceResult& p) {
    return p.prediction && is_clean(p.prediction->worst);
  });
  REQUIRE(clean != room.places.end());
  const std::string reserve = "as far as was measured";
  CHECK(to_text(room, {}).find(reserve) == std::string::npos);
  CHECK(room_html(room).find(reserve) == std::string::npos);
  clean->prediction->findings.push_back({"below_measured_noise", "Noise may hide what shows."});
  const std::string text = to_text(room, {});
  CHECK(text.find(clean->place.name + ": clean, " + reserve) != std::string::npos);
  CHECK(text.substr(0, text.find("\n\n")).find(reserve) != std::string::npos);
  CHECK(room_html(room).find("Clean " + reserve) != std::string::npos);
}

TEST_CASE("what is said of a room fits how many places it has, and whether they have light") {
  const auto first_line = [](const RoomResult& room) {
    const std::string text = to_text(room, {});
    return text.substr(0, text.find('\n'));
  };
  const RoomResult kitchen = example::kitchen();
  const auto with = [&](std::vector<PlaceResult> places) {
    RoomResult room = kitchen;
    room.places = std::move(places);
    return room;
  };
  const PlaceResult& clean = kitchen.places[0];
  const PlaceResult& spoilt = kitchen.places[1];
  const PlaceResult& dark = kitchen.places[2];
  REQUIRE(!is_clean(spoilt.prediction->worst));
  CHECK(first_line(with({spoilt})).find("Not clean at \"cook's face\": 24 frames") == 0);
  CHECK(first_line(with({spoilt, spoilt})).find("Clean at none of 2 places: ") == 0);
  CHECK(first_line(with({dark})).find("No light to judge at \"larder\": ") == 0);
  CHECK(first_line(with({dark, dark})).find("No light to judge at any of 2 places: ") == 0);
  CHECK(first_line(with({clean, dark})).find("Clean at 1 of 2 places: ") == 0);
  CHECK(first_line(with({clean})).find("Clean: ") == 0);
}

TEST_CASE("long names leave no line wider than the terminal") {
  RoomResult room = example::kitchen();
  const std::string long_name(180, 'n');
  for (PlaceResult& p : room.places) {
    p.place.name = long_name;
    p.findings.push_back({"relies_on_phases", "This is so for a reason."});
  }
  const std::string text = to_text(room, {});
  CHECK(text.find(std::string(61, 'n')) == std::string::npos);
}
