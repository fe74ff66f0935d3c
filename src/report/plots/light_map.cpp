#include <fmt/format.h>

#include <algorithm>

#include "report/plots/frame.hpp"
#include "report/plots/plots.hpp"
#include "report/plots/room_drawing.hpp"
#include "report/plots/ticks.hpp"
#include "report/room_words.hpp"
#include "words/numbers.hpp"

namespace lampbeat::report::plots {

namespace {

constexpr int wanted_levels = 5;  // at most one more: page.css has a shade for seven steps

struct LightSteps {
  double least = 0.0, most = 0.0;  ///< lx, over all cells
  std::vector<double> levels;      ///< lx, between steps
  int step_of(double lux) const {
    return static_cast<int>(std::upper_bound(levels.begin(), levels.end(), lux) - levels.begin());
  }
};

LightSteps light_of(const RoomMap& map) {
  LightSteps light;
  light.least = map.cells.front().front().illuminance_lux;
  for (const auto& row : map.cells) {
    for (const MapCell& cell : row) {
      light.least = std::min(light.least, cell.illuminance_lux);
      light.most = std::max(light.most, cell.illuminance_lux);
    }
  }
  light.levels = ticks(light.least, light.most, wanted_levels);
  // A step that starts where the darkest cell is, or ends at the brightest, would be empty.
  std::erase_if(light.levels, [&](double level) { return level <= light.least; });
  return light;
}

/// From paper for the darkest to the darkest ink for the brightest, however many steps there are.
std::string shade_class(const LightSteps& light, int step) {
  constexpr int most = 6;
  const int levels = std::max(1, static_cast<int>(light.levels.size()));
  return fmt::format("cell lux lux-{}", step * most / levels);
}

std::string level_words(double lux) { return words::in_digits_at_most(lux, 4); }

std::vector<LegendEntry> legend_of_steps(const LightSteps& light) {
  if (light.levels.empty()) return {{shade_class(light, 0), lux_words(light.most) + " everywhere"}};
  std::vector<LegendEntry> legend;
  for (std::size_t i = 0; i <= light.levels.size(); ++i) {
    std::string words;
    if (i == 0) {
      words = "under " + level_words(light.levels.front());
    } else if (i < light.levels.size()) {
      words = level_words(light.levels[i - 1]) + "–" + level_words(light.levels[i]);
    } else {
      words = "from " + level_words(light.levels.back()) + " lx";
    }
    legend.emplace_back(shade_class(light, static_cast<int>(i)), words);
  }
  return legend;
}

std::vector<std::vector<int>> draw_light_cells(Svg& svg, const FloorPlan& plan, const RoomMap& map,
                                               const LightSteps& light) {
  std::vector<std::vector<int>> steps;
  for (std::size_t row = 0; row < map.cells.size(); ++row) {
    steps.emplace_back();
    for (std::size_t column = 0; column < map.cells[row].size(); ++column) {
      const MapCell& cell = map.cells[row][column];
      const Box box = plan.cell(row, column);
      const int step = light.step_of(cell.illuminance_lux);
      svg.rect(
          box.left, box.top, box.width(), box.height(), shade_class(light, step),
          fmt::format("{}: {}", where_words(cell.x_m, cell.y_m), lux_words(cell.illuminance_lux)));
      steps.back().push_back(step);
    }
  }
  return steps;
}

/// Each level wherever its border runs, to be written at one of these points.
std::vector<std::pair<std::string, std::vector<Box>>> level_numbers(
    const LightSteps& light, const std::vector<std::vector<int>>& steps, const FloorPlan& plan,
    const RoomResult& r) {
  std::vector<std::pair<std::string, std::vector<Box>>> numbers;
  for (std::size_t i = 0; i < light.levels.size(); ++i) {
    std::vector<std::vector<int>> above = steps;
    for (auto& row : above) {
      for (int& step : row) step = step > static_cast<int>(i) ? 1 : 0;
    }
    std::vector<Box> points;
    for (const FloorLine& line : borders_between(above, plan.step_m, r.room.size_m)) {
      const double x = plan.x((line.from_x_m + line.to_x_m) / 2.0);
      const double y = plan.y((line.from_y_m + line.to_y_m) / 2.0);
      points.push_back({x, y, x, y});
    }
    numbers.emplace_back(level_words(light.levels[i]), points);
  }
  return numbers;
}

}  // namespace

std::string light_map_svg(const RoomResult& r) {
  if (!r.map || r.map->cells.empty()) return {};
  const LightSteps light = light_of(*r.map);
  if (!(light.most > 0.0)) return {};
  const std::vector<LegendEntry> legend = legend_of_steps(light);
  const RoomSheet sheet = room_sheet(r, legend);
  Svg svg("light-map", plot_width, sheet.height, "How much light falls where",
          fmt::format("Seen from above, from {} to {}.", lux_words(light.least),
                      lux_words(light.most)));
  const auto steps = draw_light_cells(svg, sheet.plan, *r.map, light);
  draw_borders(svg, sheet.plan, borders_between(steps, r.map->step_m, r.room.size_m), "level-line");
  draw_walls(svg, sheet, r.room.size_m);
  std::vector<Box> taken;
  for (const Marked& marked : draw_marks(svg, sheet.plan, r)) {
    taken.insert(taken.end(), marked.marks.begin(), marked.marks.end());
  }
  for (const auto& label : labels_at(level_numbers(light, steps, sheet.plan, r), taken,
                                     room_for_labels(sheet.plan), page_lettering())) {
    if (label) draw_label(svg, *label, "tick");
  }
  draw_legend(svg, sheet, legend);
  return svg.finish();
}

}  // namespace lampbeat::report::plots
