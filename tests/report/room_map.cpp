#include <algorithm>
#include <map>
#include <regex>
#include <set>
#include <string>

#include "report/plots/floor_plan.hpp"
#include "report/plots/labels.hpp"
#include "report/plots/plots.hpp"
#include "report/room_values.hpp"
#include "support/catch.hpp"
#include "support/draws.hpp"

using namespace lampbeat;
using namespace lampbeat::report::plots;

namespace {

struct Rect {
  double x = 0.0, y = 0.0, width = 0.0, height = 0.0;
  std::string css_class;
};

std::vector<Rect> rects_of(const std::string& svg, const std::string& class_start) {
  const std::regex rect(
      "<rect x=\"([-0-9.]+)\" y=\"([-0-9.]+)\" width=\"([-0-9.]+)\" height=\"([-0-9.]+)\" "
      "rx=\"[-0-9.]+\" class=\"([^\"]*)\"");
  std::vector<Rect> rects;
  for (std::sregex_iterator it(svg.begin(), svg.end(), rect), end; it != end; ++it) {
    const Rect each{std::stod((*it)[1]), std::stod((*it)[2]), std::stod((*it)[3]),
                    std::stod((*it)[4]), (*it)[5]};
    if (each.css_class.starts_with(class_start)) rects.push_back(each);
  }
  return rects;
}

/// Those of the floor, without the swatches of the legend beneath it.
std::vector<Rect> cells_of(const std::string& svg) {
  const std::vector<Rect> walls = rects_of(svg, "walls");
  REQUIRE(walls.size() == 1);
  std::vector<Rect> cells = rects_of(svg, "cell ");
  std::erase_if(cells, [&](const Rect& c) { return c.y > walls[0].y + walls[0].height; });
  return cells;
}

Box box_of(const Rect& r) { return {r.x, r.y, r.x + r.width, r.y + r.height}; }

bool overlap(const Box& a, const Box& b) {
  return a.left < b.right && b.left < a.right && a.top < b.bottom && b.top < a.bottom;
}

const char* class_for(char look) {
  switch (look) {
    case 'c':
      return "cell cell-clean";
    case 'b':
      return "cell cell-borderline";
    case 'v':
      return "cell cell-visible";
    case 's':
      return "cell cell-strong";
    default:
      return "cell cell-dark";
  }
}

}  // namespace

TEST_CASE("every cell of a room's map stands where it lies and has the pattern of its verdict") {
  // One of each kind, where row and column, left and right, top and bottom all differ.
  const std::vector<std::string> rows = {"cbvs.", "s.bcv", "vvcb."};
  RoomResult r = example::kitchen();
  r.room.size_m = {4.5, 2.6, 2.7};  // the last column and row are narrower
  r.map = example::map_of(rows, 1.0);
  const std::string svg = room_map_svg(r).svg;
  const Rect walls = rects_of(svg, "walls").at(0);
  const double scale = walls.width / 4.5;
  CHECK(walls.height / 2.6 == Approx(scale).epsilon(1e-3));
  const auto cells = cells_of(svg);
  REQUIRE(cells.size() == 15);
  for (const Rect& cell : cells) {
    const double x_m = (cell.x + cell.width / 2.0 - walls.x) / scale;
    const double y_m = (walls.y + walls.height - cell.y - cell.height / 2.0) / scale;
    const auto column = static_cast<std::size_t>(x_m);
    const auto row = static_cast<std::size_t>(y_m);
    CAPTURE(x_m, y_m);
    CHECK(cell.css_class == class_for(rows.at(row).at(column)));
    CHECK(cell.width ==
          Approx(scale * std::min(1.0, 4.5 - static_cast<double>(column))).margin(0.02));
    CHECK(cell.height ==
          Approx(scale * std::min(1.0, 2.6 - static_cast<double>(row))).margin(0.02));
  }
  for (const char* word : {">clean<", ">borderline<", ">visible<", ">strong<", ">no light<"}) {
    CHECK(svg.find(word) != std::string::npos);
  }
}

TEST_CASE("no two patterns of the map are alike, in grey either") {
  std::set<std::string> seen;
  for (const CellLook look : all_looks) {
    std::string inked;
    for (int y = 0; y < 32; ++y) {
      for (int x = 0; x < 32; ++x)
        inked += is_inked(look, (x + 0.5) / 32, (y + 0.5) / 32) ? '#' : ' ';
    }
    CHECK(seen.insert(inked).second);
    const auto ink = static_cast<double>(std::count(inked.begin(), inked.end(), '#')) / (32 * 32);
    if (look == CellLook::clean) CHECK(ink == 1.0);
    if (look == CellLook::borderline) CHECK(ink == 0.5);
    if (look == CellLook::no_light) CHECK(ink < 0.15);
  }
}

TEST_CASE("tiles of the patterns divide a cell evenly and are never too small to see") {
  for (double cell = 3.0; cell < 300.0; cell *= 1.13) {
    const double tile = tile_side(cell, 12.0);
    const double tiles = cell / tile;
    CHECK(tiles == Approx(std::round(tiles)));
    if (cell >= 12.0) CHECK(tile >= 12.0);
    CHECK(tile < 24.0);
  }
}

TEST_CASE("labels of a room's map keep inside the drawing, off each other and off the marks") {
  std::mt19937 random(20261130);
  std::uniform_real_distribution<double> part(0.0, 1.0);
  for (int draw = 0; draw < lampbeat::test::draws(200); ++draw) {
    RoomResult r = example::kitchen();
    r.room.size_m = {1.0 + 12.0 * part(random), 1.0 + 12.0 * part(random), 2.7};
    r.map.reset();
    r.room.fixtures.clear();
    r.places.clear();
    const auto anywhere = [&] {
      return Vector3{r.room.size_m.x * part(random), r.room.size_m.y * part(random), 2.0};
    };
    const int lamps = 1 + static_cast<int>(40.0 * part(random) * part(random));
    for (int i = 0; i < lamps; ++i) {
      Fixture f =
          example::fixture("W" + std::string(static_cast<std::size_t>(30 * part(random)), 'm'),
                           "halogen", anywhere(), 300.0);
      if (part(random) < 0.5) {
        const double turn = 6.3 * part(random);
        f.length_m = 2.0 * part(random);
        f.along = {std::cos(turn), std::sin(turn), 0.0};
      }
      r.room.fixtures.push_back(f);
    }
    const int places = static_cast<int>(8.0 * part(random));
    for (int i = 0; i < places; ++i) {
      PlaceResult p;
      p.place.name = "place with a name";
      p.place.at_m = anywhere();
      r.places.push_back(p);
    }
    const LabelledDrawing drawing = room_map_svg(r);
    const auto labels = rects_of(drawing.svg, "label-ground");
    CAPTURE(draw, lamps, places);
    CHECK(labels.size() + drawing.unlabelled == r.room.fixtures.size() + r.places.size());
    std::smatch found;
    REQUIRE(std::regex_search(drawing.svg, found, std::regex("viewBox=\"0 0 ([0-9]+) ([0-9]+)\"")));
    const Box sheet{0.0, 0.0, std::stod(found[1]), std::stod(found[2])};
    std::vector<Box> marks;
    const std::regex lamp(
        "<circle cx=\"([-0-9.]+)\" cy=\"([-0-9.]+)\" r=\"([-0-9.]+)\" class=\"lamp");
    for (std::sregex_iterator it(drawing.svg.begin(), drawing.svg.end(), lamp), end; it != end;
         ++it) {
      const double x = std::stod((*it)[1]);
      const double y = std::stod((*it)[2]);
      const double radius = std::stod((*it)[3]);
      marks.push_back({x - radius, y - radius, x + radius, y + radius});
    }
    for (std::size_t i = 0; i < labels.size(); ++i) {
      const Box box = box_of(labels[i]);
      CHECK((box.left >= 0.0 && box.top >= 0.0 && box.right <= sheet.right &&
             box.bottom <= sheet.bottom));
      for (std::size_t k = 0; k < i; ++k) CHECK_FALSE(overlap(box, box_of(labels[k])));
      for (const Box& mark : marks) CHECK_FALSE(overlap(box, mark));
    }
  }
}

TEST_CASE("one lamp has its name on the map, and a hundred their numbers where there is room") {
  const LabelledDrawing one = room_map_svg(example::crowded(1));
  CHECK(one.unlabelled == 0);
  CHECK(one.svg.find(">1 downlight 0<") != std::string::npos);
  const RoomResult hundred = example::crowded(100);
  const LabelledDrawing many = room_map_svg(hundred);
  const auto labels = rects_of(many.svg, "label-ground");
  CHECK(labels.size() + many.unlabelled == 103);
  CHECK(labels.size() > 30);
  CHECK(many.svg.find(">A<") != std::string::npos);
  CHECK(many.svg.find(">1 downlight 0<") == std::string::npos);
}

TEST_CASE("a tube is drawn with its length and direction, and only what lies in the room") {
  const Vector3 size_m{6.0, 4.0, 2.7};
  Fixture tube = example::fixture("tube", "tube-magnetic", {3.0, 2.0, 2.5}, 1000.0);
  tube.length_m = 2.0;
  tube.along = {0.6, 0.8, 0.0};
  const FloorLine slanting = line_of(tube, size_m);
  CHECK(slanting.from_x_m == Approx(2.4));
  CHECK(slanting.from_y_m == Approx(1.2));
  CHECK(slanting.to_x_m == Approx(3.6));
  CHECK(slanting.to_y_m == Approx(2.8));
  tube.at_m = {5.7, 2.0, 2.5};
  const FloorLine cut = line_of(tube, size_m);  // 0.3 m left to the wall: half a metre of the tube
  CHECK(cut.to_x_m == Approx(6.0));
  CHECK(cut.to_y_m == Approx(2.4));
  CHECK(cut.from_x_m == Approx(5.1));
  tube.along = {0.0, 0.0, 1.0};
  const FloorLine upright = line_of(tube, size_m);
  CHECK(upright.from_x_m == upright.to_x_m);
  CHECK(upright.from_y_m == upright.to_y_m);
}

TEST_CASE("borders run between cells that differ and nowhere else") {
  const std::vector<std::vector<int>> grades = {{1, 1, 2}, {1, 3, 2}};
  const auto lines = borders_between(grades, 1.0, {2.5, 2.0, 3.0});
  // Of length 1 each: left of the 3, below it, and right of its row; in the first row right of 1.
  double length_m = 0.0;
  for (const FloorLine& l : lines) {
    length_m += std::abs(l.to_x_m - l.from_x_m) + std::abs(l.to_y_m - l.from_y_m);
  }
  CHECK(lines.size() == 3);
  CHECK(length_m == Approx(4.0));
  CHECK(borders_between({{1, 1}, {1, 1}}, 1.0, {2.0, 2.0, 3.0}).empty());
}

TEST_CASE("the light map shades each cell by its step, and its legend names the steps") {
  const RoomResult r = example::kitchen();
  const std::string svg = light_map_svg(r);
  const auto cells = cells_of(svg);
  REQUIRE(cells.size() == 96);
  const Rect walls = rects_of(svg, "walls").at(0);
  const double scale = walls.width / 6.0;
  // A cell with more light never has the lighter shade.
  std::map<std::string, std::pair<double, double>> range;
  for (const Rect& cell : cells) {
    const auto column = static_cast<std::size_t>((cell.x + 1.0 - walls.x) / (0.5 * scale));
    const auto row =
        static_cast<std::size_t>((walls.y + walls.height - cell.y - 1.0) / (0.5 * scale));
    const double lux = r.map->cells.at(row).at(column).illuminance_lux;
    const auto [it, is_new] = range.try_emplace(cell.css_class, lux, lux);
    it->second = {std::min(it->second.first, lux), std::max(it->second.second, lux)};
  }
  CHECK(range.size() >= 4);
  CHECK(range.size() <= 7);
  double darker = -1.0;
  for (const auto& [css_class, lux] : range) {
    CAPTURE(css_class);
    CHECK(lux.first > darker);
    darker = lux.second;
  }
  CHECK(svg.find(">under ") != std::string::npos);
  CHECK(svg.find(" lx<") != std::string::npos);
  RoomResult dark = r;
  for (auto& row : dark.map->cells) {
    for (MapCell& cell : row) cell.illuminance_lux = 0.0;
  }
  CHECK(light_map_svg(dark).empty());
  RoomResult even = r;
  for (auto& row : even.map->cells) {
    for (MapCell& cell : row) cell.illuminance_lux = 250.0;
  }
  CHECK(light_map_svg(even).find("250 lx everywhere") != std::string::npos);
  even.map.reset();
  CHECK(light_map_svg(even).empty());
}

TEST_CASE("places are lettered and fixtures numbered") {
  CHECK(fixture_tag(0) == "1");
  CHECK(fixture_tag(99) == "100");
  CHECK(place_tag(0) == "A");
  CHECK(place_tag(25) == "Z");
  CHECK(place_tag(26) == "AA");
  CHECK(place_tag(27) == "AB");
  CHECK(place_tag(26 + 26 * 26) == "AAA");
}
