#include "reasoning/room/map.hpp"

#include <tbb/parallel_for.h>

#include <algorithm>
#include <cmath>

#include "reasoning/room/worst_of.hpp"

namespace lampbeat::reasoning::room {
namespace {

constexpr std::size_t most_cells = 400;

std::size_t cells_along(double side_m, double step_m) {
  constexpr double rounding = 1e-9;
  return static_cast<std::size_t>(std::max(1.0, std::ceil(side_m / step_m - rounding)));
}

/// Level ground is lit from above.
constexpr Vector3 up{0.0, 0.0, 1.0};

void judge_cell(MapCell& cell, const Room& room, const RoomRequest& request) {
  const auto shares = light_on(room, {cell.x_m, cell.y_m, *request.map_height_m}, up);
  cell.illuminance_lux = illuminance_lux(shares);
  const std::vector<LightShare> lights = lights_on(room, shares);
  if (lights.empty()) return;
  const Recorded worst = worst_of(lights, request);
  cell.visibility = worst.visibility;
  cell.verdict = worst.verdict;
}

}  // namespace

double step_for(const Vector3& size_m) {
  constexpr double finest_m = 0.05;
  for (double decade_m = finest_m;; decade_m *= 10.0) {
    for (const double part : {1.0, 2.0, 3.0, 4.0, 5.0, 6.0, 8.0, 10.0, 12.0, 15.0}) {
      const double step_m = decade_m * part;
      if (cells_along(size_m.x, step_m) * cells_along(size_m.y, step_m) <= most_cells) {
        return step_m;
      }
    }
  }
}

std::vector<double> middles(double side_m, double step_m) {
  std::vector<double> all;
  for (std::size_t i = 0; i < cells_along(side_m, step_m); ++i) {
    const double from_m = static_cast<double>(i) * step_m;
    all.push_back(0.5 * (from_m + std::min(side_m, from_m + step_m)));
  }
  return all;
}

RoomMap map_of(const Room& room, const RoomRequest& request) {
  RoomMap map;
  map.height_m = *request.map_height_m;
  map.step_m = step_for(room.size_m);
  const std::vector<double> across_m = middles(room.size_m.x, map.step_m);
  std::vector<MapCell*> each;
  for (const double y_m : middles(room.size_m.y, map.step_m)) {
    std::vector<MapCell>& row = map.cells.emplace_back(across_m.size());
    for (std::size_t i = 0; i < row.size(); ++i) {
      row[i].x_m = across_m[i];
      row[i].y_m = y_m;
    }
  }
  for (std::vector<MapCell>& row : map.cells) {
    for (MapCell& cell : row) each.push_back(&cell);
  }
  tbb::parallel_for(std::size_t{0}, each.size(),
                    [&](std::size_t i) { judge_cell(*each[i], room, request); });
  return map;
}

}  // namespace lampbeat::reasoning::room
