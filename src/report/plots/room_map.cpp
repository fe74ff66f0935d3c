#include <fmt/format.h>

#include <algorithm>
#include <array>

#include "report/plots/frame.hpp"
#include "report/plots/plots.hpp"
#include "report/plots/room_drawing.hpp"
#include "report/room_words.hpp"
#include "report/visibility_words.hpp"
#include "words/lists.hpp"

namespace lampbeat::report::plots {

namespace {

std::string look_class(CellLook look) {
  constexpr const char* classes[] = {"cell cell-clean", "cell cell-borderline", "cell cell-visible",
                                     "cell cell-strong", "cell cell-dark"};
  return classes[static_cast<std::size_t>(look)];
}

/// The patterns that page.css fills those classes with, their first tile in the corner of the room.
void draw_patterns(Svg& svg, const FloorPlan& plan) {
  constexpr double least = 12.0;
  const double side = tile_side(plan.scale * plan.step_m, least);
  constexpr std::pair<CellLook, const char*> patterns[] = {{CellLook::borderline, "map-borderline"},
                                                           {CellLook::visible, "map-visible"},
                                                           {CellLook::strong, "map-strong"},
                                                           {CellLook::no_light, "map-dark"}};
  for (const auto& [look, id] : patterns) {
    svg.begin_pattern(id, plan.box.left, plan.box.bottom, side);
    const Stripes stripes = stripes_of(look);
    for (int i = 0; i < stripes.to_a_tile; ++i) {
      const double apart = side / stripes.to_a_tile;
      const double from = apart * (i + stripes.from);
      const double thick = apart * (stripes.to - stripes.from);
      if (stripes.upright) {
        svg.rect(from, 0, thick, side, "cell-full");
      } else {
        svg.rect(0, from, side, thick, "cell-band");
      }
    }
    if (look == CellLook::no_light) svg.circle(side / 2, side / 2, dot_radius * side, "cell-band");
    svg.end_pattern();
  }
}

std::string verdict_hover(const MapCell& cell) {
  const std::string where = where_words(cell.x_m, cell.y_m);
  if (!cell.visibility) return fmt::format("{}: no light", where);
  return fmt::format("{}: {}, visibility {}, {}", where, verdict_word(cell.verdict),
                     visibility_words(*cell.visibility), lux_words(cell.illuminance_lux));
}

std::vector<std::vector<int>> draw_verdict_cells(Svg& svg, const FloorPlan& plan,
                                                 const RoomMap& map) {
  std::vector<std::vector<int>> grades;
  for (std::size_t row = 0; row < map.cells.size(); ++row) {
    grades.emplace_back();
    for (std::size_t column = 0; column < map.cells[row].size(); ++column) {
      const MapCell& cell = map.cells[row][column];
      const Box box = plan.cell(row, column);
      const CellLook look = look_of(cell);
      svg.rect(box.left, box.top, box.width(), box.height(), look_class(look), verdict_hover(cell));
      grades.back().push_back(static_cast<int>(look));
    }
  }
  return grades;
}

std::array<std::size_t, std::size(all_looks)> counted_looks(const RoomMap& map) {
  std::array<std::size_t, std::size(all_looks)> counts{};
  for (const auto& row : map.cells) {
    for (const MapCell& cell : row) ++counts[static_cast<std::size_t>(look_of(cell))];
  }
  return counts;
}

std::vector<LegendEntry> legend_of_looks(const RoomResult& r) {
  std::vector<LegendEntry> legend;
  if (!r.map) return legend;
  const auto counts = counted_looks(*r.map);
  for (const CellLook look : all_looks) {
    // The four words always, so that what is missing can be told.
    if (look == CellLook::no_light && counts[static_cast<std::size_t>(look)] == 0) continue;
    legend.emplace_back(look_class(look), look_word(look));
  }
  return legend;
}

std::string room_in_words(const RoomResult& r) {
  std::string words = fmt::format(
      "Seen from above, the corner that all is measured from at the bottom left. {} {}, {} {}.",
      r.room.fixtures.size(), r.room.fixtures.size() == 1 ? "fixture" : "fixtures", r.places.size(),
      r.places.size() == 1 ? "place" : "places");
  if (!r.map) return words;
  const auto counts = counted_looks(*r.map);
  std::vector<std::string> parts;
  std::size_t all = 0;
  for (const CellLook look : all_looks) {
    const std::size_t count = counts[static_cast<std::size_t>(look)];
    all += count;
    if (count > 0) parts.push_back(fmt::format("{} {}", count, look_word(look)));
  }
  return words + fmt::format(" Of {} cells of the floor: {}.", all, words::listed(parts));
}

}  // namespace

LabelledDrawing room_map_svg(const RoomResult& r) {
  const std::vector<LegendEntry> legend = legend_of_looks(r);
  const RoomSheet sheet = room_sheet(r, legend);
  LabelledDrawing drawing;
  Svg svg("room-map", plot_width, sheet.height,
          r.map ? "Where in the room bands would show" : "The room from above", room_in_words(r));
  if (r.map) {
    draw_patterns(svg, sheet.plan);
    const auto grades = draw_verdict_cells(svg, sheet.plan, *r.map);
    draw_borders(svg, sheet.plan, borders_between(grades, r.map->step_m, r.room.size_m),
                 "cell-border");
  }
  draw_walls(svg, sheet, r.room.size_m);
  const std::vector<Marked> marked = draw_marks(svg, sheet.plan, r);
  const auto labels = labels_of(marked, room_for_labels(sheet.plan), page_lettering());
  for (const std::optional<Label>& label : labels) {
    if (label) {
      draw_label(svg, *label, "label");
    } else {
      ++drawing.unlabelled;
    }
  }
  draw_legend(svg, sheet, legend);
  drawing.svg = svg.finish();
  return drawing;
}

}  // namespace lampbeat::report::plots
