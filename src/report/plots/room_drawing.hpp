#pragma once

#include <string>
#include <utility>
#include <vector>

#include "report/plots/floor_plan.hpp"
#include "report/plots/labels.hpp"
#include "report/plots/svg.hpp"

// The floor of a room as both its drawings have it: walls, metres, fixtures, places, legend.

namespace lampbeat::report::plots {

/// One entry of a legend: the class of its swatch and what it stands for.
using LegendEntry = std::pair<std::string, std::string>;

/// Where the floor lies, and how high the whole drawing is with this legend beneath it.
struct RoomSheet {
  FloorPlan plan;
  std::vector<Box> legend;  ///< one box for each entry
  double height = 0.0;
};
RoomSheet room_sheet(const RoomResult& room, const std::vector<LegendEntry>& legend);

/// Walls with their metres, and the corner all is measured from.
void draw_walls(Svg& svg, const RoomSheet& sheet, const Vector3& size_m);

/// Every fixture and place, with its name to hover; returns what they cover.
std::vector<Marked> draw_marks(Svg& svg, const FloorPlan& plan, const RoomResult& room);

void draw_borders(Svg& svg, const FloorPlan& plan, const std::vector<FloorLine>& borders,
                  std::string_view css_class);

void draw_legend(Svg& svg, const RoomSheet& sheet, const std::vector<LegendEntry>& legend);

/// Words on a ground of their own.
void draw_label(Svg& svg, const Label& label, std::string_view css_class);

/// The size of labels, as page.css has it.
Lettering page_lettering();

/// Between the walls, and beside them where the room is narrow.
Box room_for_labels(const FloorPlan& plan);

/// "x 1.25 m, y 0.75 m"
std::string where_words(double x_m, double y_m);

}  // namespace lampbeat::report::plots
