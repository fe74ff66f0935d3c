#pragma once

#include <cstddef>
#include <string>
#include <vector>

#include "lampbeat/room.hpp"

// A room as it is laid on a drawing: seen from above, the corner it is measured from at the bottom
// left, x to the right, y upwards. What its drawing on a page and its picture share.

namespace lampbeat::report::plots {

/// Part of a drawing, y downwards.
struct Box {
  double left = 0.0, top = 0.0, right = 0.0, bottom = 0.0;
  double width() const { return right - left; }
  double height() const { return bottom - top; }
};

/// A square this far to either side of its middle.
inline Box box_around(double x, double y, double radius) {
  return {x - radius, y - radius, x + radius, y + radius};
}

/// A straight line on the floor, m.
struct FloorLine {
  double from_x_m = 0.0, from_y_m = 0.0, to_x_m = 0.0, to_y_m = 0.0;
};

/// A straight line on a drawing.
struct DrawnLine {
  double x1 = 0.0, y1 = 0.0, x2 = 0.0, y2 = 0.0;
};

/// Where the floor lies on a drawing.
struct FloorPlan {
  Box box;              ///< its four walls
  double scale = 1.0;   ///< drawing units in a metre
  double step_m = 0.0;  ///< side of the map's cells
  double x(double x_m) const { return box.left + scale * x_m; }
  double y(double y_m) const { return box.bottom - scale * y_m; }
  DrawnLine line(const FloorLine& l) const {
    return {x(l.from_x_m), y(l.from_y_m), x(l.to_x_m), y(l.to_y_m)};
  }
  /// What a cell covers; the last one of a row or column ends at the wall.
  Box cell(std::size_t row, std::size_t column) const;
};

/// The floor as large as it fits into `area`, in the middle of its width, at its top.
FloorPlan floor_plan(const Vector3& size_m, double step_m, const Box& area);

/// What a cell of the map shows: a verdict, or that no light falls there.
enum class CellLook { clean, borderline, visible, strong, no_light };
inline constexpr CellLook all_looks[] = {CellLook::clean, CellLook::borderline, CellLook::visible,
                                         CellLook::strong, CellLook::no_light};
CellLook look_of(const MapCell& cell);
/// The word of the verdict, or "no light".
const char* look_word(CellLook look);

/// The pattern of a cell, told without colour, as the emblems of the verdicts have it: filled when
/// clean, half filled when borderline, two bands to a tile when visible, four when strong. Dots
/// where there is no light.
struct Stripes {
  int to_a_tile = 0;
  bool upright = false;
  double from = 0.0, to = 0.0;  ///< the inked part of each, 0 ... 1
};
/// Of the looks that are striped; `to_a_tile` is 0 for the others.
Stripes stripes_of(CellLook look);
/// Radius of the dot in the middle of each tile without light, in tiles.
inline constexpr double dot_radius = 0.14;
/// Whether there is ink at this point, counted in tiles from a corner of the floor.
bool is_inked(CellLook look, double across, double down);
/// Side of a tile: a whole part of a cell's side, so that every cell holds whole ones, but no less
/// than `least`, below which bands run together.
double tile_side(double cell_side, double least);

/// The line of a tube or strip seen from above, as much of it as lies in the room; a point for a
/// lamp without length, and for a tube that hangs upright.
FloorLine line_of(const Fixture& fixture, const Vector3& size_m);

/// Borders between neighbouring cells whose `grades` differ; those in a straight line are one.
std::vector<FloorLine> borders_between(const std::vector<std::vector<int>>& grades, double step_m,
                                       const Vector3& size_m);

/// The short name of a fixture on a plan: "1", "2" ...; of a place: "A" ... "Z", "AA" ...
std::string fixture_tag(std::size_t index);
std::string place_tag(std::size_t index);

}  // namespace lampbeat::report::plots
