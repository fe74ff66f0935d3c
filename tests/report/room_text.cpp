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
