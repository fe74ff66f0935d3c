#include <regex>
#include <string>

#include "browser/sample_pages.hpp"
#include "lampbeat/html.hpp"
#include "report/room_values.hpp"
#include "support/catch.hpp"

using namespace lampbeat;

namespace {

std::size_t times(const std::string& text, const std::string& part) {
  std::size_t n = 0;
  for (std::size_t at = text.find(part); at != std::string::npos; at = text.find(part, at + 1)) ++n;
  return n;
}

std::string between(const std::string& text, const std::string& from, const std::string& to) {
  const std::size_t start = text.find(from);
  REQUIRE(start != std::string::npos);
  return text.substr(start, text.find(to, start) - start);
}

}  // namespace

TEST_CASE("the page of a room begins with how many places are clean, and has a card for each") {
  const std::string html = room_html(example::kitchen());
  CHECK(between(html, "<h1>", "</h1>").find("Clean at 1 of 3 places") != std::string::npos);
  CHECK(html.find("<h1>") < html.find("id=\"room-map-title\""));
  CHECK(times(html, "<article class=\"place\">") == 3);
  const std::string table = between(html, "</span> table<", "</article>");
  CHECK(table.find("Clean: nobody will see") != std::string::npos);
  CHECK(table.find("a level surface from above") != std::string::npos);
  CHECK(table.find("What to change") == std::string::npos);
  const std::string face = between(html, "</span> cook&#39;s face<", "</article>");
  CHECK(face.find("an upright surface facing against y") != std::string::npos);
  CHECK(face.find("What to change") < face.find("worktop strip&#39;: clean then"));
  CHECK(face.find("Best shutters") != std::string::npos);
  const std::size_t last_card = html.rfind("<article");
  const std::string larder = html.substr(last_card, html.find("</article>", last_card) - last_card);
  CHECK(larder.find("no_light") != std::string::npos);
  CHECK(larder.find("visibility") == std::string::npos);  // no figure of what was not judged
  CHECK(larder.find("tile-full") == std::string::npos);
  CHECK(times(larder, "class=\"tile-band\"") == 4);  // its own emblem, not the page's
  CHECK(times(html, "no_photometric_design") == 1);
}

TEST_CASE("shares on the card of a place are those of its fixtures, brightest first") {
  const RoomResult r = example::kitchen();
  const std::string html = room_html(r);
  const std::string shares = between(html, "<ul class=\"shares\">", "</ul>");
  const std::regex value("value=\"([^\"]*)\" title=\"places\\.0\\.shares\\.(\\d)\\.share\"");
  std::size_t told = 0;
  for (std::sregex_iterator it(shares.begin(), shares.end(), value), end; it != end; ++it) {
    const auto k = static_cast<std::size_t>(std::stoi((*it)[2]));
    CHECK(std::stod((*it)[1]) == r.places[0].shares.at(k).share);
    ++told;
  }
  CHECK(told == r.places[0].shares.size());
  CHECK(shares.find("1 ceiling panel") < shares.find("3 worktop strip"));
  const std::string many = room_html(example::crowded(100));
  CHECK(many.find("95 others") != std::string::npos);
  CHECK(times(many, "<th role=\"rowheader\"") == 100);
}

TEST_CASE("a room without a map is drawn without cells, and one without places without cards") {
  RoomResult r = example::kitchen();
  r.map.reset();
  const std::string plain = room_html(r);
  CHECK(plain.find("id=\"room-map-title\">The room from above<") != std::string::npos);
  CHECK(plain.find("class=\"cell ") == std::string::npos);
  CHECK(plain.find("light-map") == std::string::npos);
  RoomResult empty = example::kitchen();
  empty.places.clear();
  const std::string unnamed = room_html(empty);
  CHECK(unnamed.find("<article") == std::string::npos);
  CHECK(unnamed.find("class=\"cell ") != std::string::npos);
}

TEST_CASE(
    "a doubt told by several places stands once on the page, one of a single place on its card") {
  RoomResult r = example::kitchen();
  const Finding shared{"moved_mains", "Judged on another mains."};
  const Finding single{"coarse_pattern", "Coarser than the model."};
  r.places[0].prediction->findings = {shared};
  r.places[1].prediction->findings = {shared, single};
  const std::string html = room_html(r);
  CHECK(times(html, shared.message) == 1);
  CHECK(html.find(shared.message) > html.find("</article>\n</div>"));
  const std::string face = between(html, "</span> cook&#39;s face<", "</article>");
  CHECK(times(html, single.message) == 1);
  CHECK(face.find(single.message) != std::string::npos);
}

TEST_CASE("names in a room file cannot become markup") {
  RoomResult r = example::kitchen();
  for (Fixture& f : r.room.fixtures) f.name = f.kind = f.circuit = example::hostile();
  for (PlaceResult& p : r.places) p.place.name = example::hostile();
  r.room.name = example::hostile();
  r.findings = {{example::hostile(), example::hostile()}};
  const std::string html = room_html(r);
  CHECK(html.find("<script") == std::string::npos);
  CHECK(html.find("<img src=x") == std::string::npos);
  CHECK(html.find('\x1b') == std::string::npos);
  CHECK(html.find('\xff') == std::string::npos);
  CHECK(times(html, "<style>") == 1);
}
