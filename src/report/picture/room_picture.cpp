#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <iterator>
#include <optional>

#include "lampbeat/picture.hpp"
#include "report/picture/canvas.hpp"
#include "report/picture/png_writer.hpp"
#include "report/plots/floor_plan.hpp"
#include "report/plots/labels.hpp"
#include "report/plots/ticks.hpp"
#include "report/room_words.hpp"

namespace lampbeat::report::picture {

namespace {

using namespace plots;

// The colours of page.css in the light, which stand apart in grey too.
enum Inks : Ink { paper, ink, filled, band, lamp, lamp_off };
constexpr Colour colours[] = {0xfffdf8, 0x22292f, 0x14474b, 0x8b8274, 0xc2600f, 0xd9d1c2};

// Pixels. The longer side fills a screen; with its margins no picture is larger than 1600 × 1500.
constexpr Box floor_area{110.0, 40.0, 1510.0, 1240.0};
constexpr double right_margin = 50.0;
constexpr double wall = 4.0;
constexpr double least_tile = 24.0;  // six pixels from one band to the next where they are strong
constexpr int dot = 3;
constexpr double edge = 4.0;  // paper around marks and words
constexpr double lamp_width = 18.0;
constexpr double place_radius = 18.0;
constexpr double swatch = 48.0;
constexpr double beneath = 84.0;  // the metres
constexpr double legend_line = 68.0;

Ink ink_of(CellLook look, double across, double down) {
  if (!is_inked(look, across, down)) return paper;
  return look == CellLook::clean || look == CellLook::borderline ? filled : band;
}

void draw_cells(Canvas& canvas, const FloorPlan& plan, const RoomMap& map, double tile) {
  for (std::size_t row = 0; row < map.cells.size(); ++row) {
    for (std::size_t column = 0; column < map.cells[row].size(); ++column) {
      const CellLook look = look_of(map.cells[row][column]);
      canvas.paint(plan.cell(row, column), [&](double x, double y) {
        return ink_of(look, (x - plan.box.left) / tile, (y - plan.box.bottom) / tile);
      });
    }
  }
}

void draw_borders(Canvas& canvas, const FloorPlan& plan, const RoomMap& map, const Vector3& size) {
  std::vector<std::vector<int>> grades;
  for (const auto& row : map.cells) {
    grades.emplace_back();
    for (const MapCell& cell : row) grades.back().push_back(static_cast<int>(look_of(cell)));
  }
  for (const FloorLine& line : borders_between(grades, map.step_m, size)) {
    canvas.stroke(plan.x(line.from_x_m), plan.y(line.from_y_m), plan.x(line.to_x_m),
                  plan.y(line.to_y_m), 3.0, ink);
  }
}

void write_beside(Canvas& canvas, double right, double middle_y, const std::string& words) {
  canvas.write(right - written_width(words, dot), middle_y - written_height(dot) / 2.0, words, dot,
               ink);
}

/// Walls, the metres along them, and the corner all is measured from.
void draw_walls(Canvas& canvas, const FloorPlan& plan, const Vector3& size_m) {
  const Box& box = plan.box;
  canvas.frame(box, wall, ink);
  constexpr double apart = 90.0;
  const auto metres = [&](double side, double length_m) {
    return ticks(0.0, length_m, std::clamp(static_cast<int>(side / apart), 1, 8));
  };
  const double below = box.bottom + wall;
  for (const double x_m : metres(box.width(), size_m.x)) {
    const std::string words = fmt::format("{:.4g}", x_m);
    canvas.stroke(plan.x(x_m), below, plan.x(x_m), below + 12.0, 3.0, ink);
    canvas.write(plan.x(x_m) - written_width(words, dot) / 2.0, below + 18.0, words, dot, ink);
  }
  for (const double y_m : metres(box.height(), size_m.y)) {
    const double left = box.left - wall;
    canvas.stroke(left - 12.0, plan.y(y_m), left, plan.y(y_m), 3.0, ink);
    write_beside(canvas, left - 18.0, plan.y(y_m), fmt::format("{:.4g}", y_m));
  }
  write_beside(canvas, box.right, below + 58.0, "x, m");
  write_beside(canvas, box.left - 26.0, box.top - 26.0, "y, m");
}

std::vector<Marked> draw_marks(Canvas& canvas, const FloorPlan& plan, const RoomResult& r) {
  std::vector<Marked> lamps;
  for (std::size_t i = 0; i < r.room.fixtures.size(); ++i) {
    const Fixture& fixture = r.room.fixtures[i];
    const auto [x1, y1, x2, y2] = plan.line(line_of(fixture, r.room.size_m));
    const bool is_off = !gives_light(fixture);
    canvas.stroke(x1, y1, x2, y2, lamp_width + 2.0 * edge, paper);
    canvas.stroke(x1, y1, x2, y2, lamp_width + edge, ink);
    canvas.stroke(x1, y1, x2, y2, lamp_width, is_off ? lamp_off : lamp);
    lamps.push_back({fixture_tag(i), fixture.name,
                     boxes_along(x1, y1, x2, y2, lamp_width + 2.0 * edge), false});
  }
  std::vector<Marked> marked;
  for (std::size_t i = 0; i < r.places.size(); ++i) {
    const Place& place = r.places[i].place;
    const double x = plan.x(place.at_m.x);
    const double y = plan.y(place.at_m.y);
    canvas.diamond(x, y, place_radius + edge, paper);
    canvas.diamond(x, y, place_radius, ink);
    canvas.diamond(x, y, place_radius - 2.0 * edge, paper);
    marked.push_back({place_tag(i), place.name, {box_around(x, y, place_radius + edge)}, true});
  }
  marked.insert(marked.end(), lamps.begin(), lamps.end());
  return marked;
}

/// With the name where its letters are at hand, else the tag alone.
std::vector<Marked> writable(std::vector<Marked> marked) {
  for (Marked& each : marked) {
    if (written_width(label_words(each.tag, each.name), dot) <= 0.0) each.name.clear();
  }
  return marked;
}

void draw_labels(Canvas& canvas, const FloorPlan& plan, const std::vector<Marked>& marked) {
  const Lettering lettering{written_height(dot) + 2.0 * edge, [](const std::string& words) {
                              return written_width(words, dot) + 2.0 * edge;
                            }};
  const Box inside{plan.box.left + edge, plan.box.top + edge, canvas.width() - edge,
                   plan.box.bottom - edge};
  for (const std::optional<Label>& label : labels_of(writable(marked), inside, lettering)) {
    if (!label) continue;
    canvas.fill(label->box, paper);
    canvas.write(label->box.left + edge, label->box.top + edge, label->words, dot, ink);
  }
}

std::vector<Box> legend_boxes(double right) {
  std::vector<double> widths;
  for (const CellLook look : all_looks) {
    widths.push_back(swatch + 4.0 * edge + written_width(look_word(look), dot) + 8.0 * edge);
  }
  return in_lines(widths, 2.0 * edge, right, legend_line);
}

/// The patterns as large as on the floor: by how close their bands lie one is told from the next.
void draw_legend(Canvas& canvas, const std::vector<Box>& boxes, double top, double tile) {
  for (std::size_t i = 0; i < std::size(all_looks); ++i) {
    const double left = boxes[i].left + wall;
    const double y = top + boxes[i].top + wall;
    const Box box{left, y, left + swatch, y + swatch};
    canvas.paint(box, [&](double px, double py) {
      return ink_of(all_looks[i], (px - left) / tile, (py - y) / tile);
    });
    canvas.frame(box, wall / 2.0, ink);
    canvas.write(box.right + 4.0 * edge, y + (swatch - written_height(dot)) / 2.0,
                 look_word(all_looks[i]), dot, ink);
  }
}

/// A picture of the marks' names for those who read the file and not the pixels.
std::string description(const RoomResult& r) {
  std::string words = map_words(r) +
                      " Seen from above, the corner all is measured from at "
                      "the bottom left; metres along the walls.";
  for (std::size_t i = 0; i < r.places.size(); ++i) {
    words += fmt::format(" {}: {}.", place_tag(i), r.places[i].place.name);
  }
  for (std::size_t i = 0; i < r.room.fixtures.size(); ++i) {
    words += fmt::format(" {}: {}.", fixture_tag(i), r.room.fixtures[i].name);
  }
  return words;
}

Canvas drawn(const RoomResult& r) {
  FloorPlan plan = floor_plan(r.room.size_m, r.map->step_m, floor_area);
  const double to_left = plan.box.left - floor_area.left;
  const double least_floor = 700.0;  // for the legend beneath a narrow room, and names beside it
  plan.box.left -= to_left;
  plan.box.right -= to_left;
  const double right = std::max(plan.box.right, floor_area.left + least_floor) + right_margin;
  const std::vector<Box> legend = legend_boxes(right);
  const double under = plan.box.bottom + beneath;
  Canvas canvas(static_cast<int>(std::ceil(right)),
                static_cast<int>(std::ceil(under + legend.back().bottom)), paper);
  const double tile = tile_side(plan.scale * plan.step_m, least_tile);
  draw_cells(canvas, plan, *r.map, tile);
  draw_borders(canvas, plan, *r.map, r.room.size_m);
  draw_walls(canvas, plan, r.room.size_m);
  draw_labels(canvas, plan, draw_marks(canvas, plan, r));
  draw_legend(canvas, legend, under, tile);
  return canvas;
}

}  // namespace

}  // namespace lampbeat::report::picture

namespace lampbeat {

using namespace report::picture;

std::string room_map_png(const RoomResult& r) {
  if (!r.map) return {};
  const Canvas canvas = drawn(r);
  std::string bytes;
  PngWriter png(bytes);
  png.begin_coloured(static_cast<std::uint32_t>(canvas.width()),
                     static_cast<std::uint32_t>(canvas.height()), colours, description(r));
  for (int y = 0; y < canvas.height(); ++y) png.line(canvas.line(y));
  png.end();
  return bytes;
}

}  // namespace lampbeat
