#include "reasoning/room/map.hpp"

#include <tbb/parallel_for.h>

#include <algorithm>
#include <atomic>
#include <cmath>
#include <optional>
#include <utility>

#include "reasoning/prediction/flashing.hpp"
#include "reasoning/room/conductors.hpp"
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

std::vector<LightShare> lights_at(const MapCell& cell, const Room& room, double height_m) {
  return lights_on(room, light_on(room, {cell.x_m, cell.y_m, height_m}, up));
}

/// What one cell records, and the cell.
struct JudgedCell {
  const MapCell* cell = nullptr;
  Recorded worst;
};

/// Judges cells side by side.
class MapJudge {
 public:
  MapJudge(const Room& room, const RoomRequest& request)
      : room_(room), request_(request), in_step_(in_step(room)) {}

  /// Empty where no light falls.
  std::optional<JudgedCell> judge(MapCell& cell) {
    const auto shares = light_on(room_, {cell.x_m, cell.y_m, *request_.map_height_m}, up);
    cell.illuminance_lux = illuminance_lux(shares);
    const std::vector<LightShare> lights = lights_on(room_, shares);
    if (lights.empty()) return std::nullopt;
    JudgedCell judged{&cell, worst_of(lights, request_)};
    cell.visibility = judged.worst.visibility;
    cell.verdict = judged.worst.verdict;
    // One such cell is enough to say it.
    if (in_step_ && !relies_on_phases_ && is_clean(judged.worst) &&
        !is_clean(worst_of(lights_on(*in_step_, shares), request_))) {
      relies_on_phases_ = true;
    }
    return judged;
  }

  bool relies_on_phases() const { return relies_on_phases_; }

 private:
  const Room& room_;
  const RoomRequest& request_;
  std::optional<Room> in_step_;
  std::atomic<bool> relies_on_phases_ = false;
};

/// Of the cell that flashes deepest of those that do.
std::optional<Finding> flashing_on(const std::vector<JudgedCell>& cells,
                                   const RoomRequest& request) {
  std::optional<Finding> caution;
  double deepest_percent = -1.0;
  for (const JudgedCell& c : cells) {
    if (c.worst.pulse_percent <= deepest_percent) continue;
    auto found =
        prediction::photosensitive_caution(c.worst, request.shot.fps, request.options.viewing);
    if (!found) continue;
    deepest_percent = c.worst.pulse_percent;
    caution = std::move(found);
  }
  if (caution) caution->message = "Where the map flashes most: " + caution->message;
  return caution;
}

Findings of_worst(const std::vector<JudgedCell>& cells, const Room& room,
                  const RoomRequest& request) {
  const auto worst =
      std::max_element(cells.begin(), cells.end(), [](const JudgedCell& a, const JudgedCell& b) {
        return a.worst.visibility < b.worst.visibility;
      });
  if (worst == cells.end()) return {};
  Findings findings =
      predict(lights_at(*worst->cell, room, *request.map_height_m), request.shot, request.options)
          .findings;
  std::erase_if(findings, [](const Finding& f) { return f.code == "photosensitive_caution"; });
  return findings;
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

MapResult map_of(const Room& room, const RoomRequest& request) {
  MapResult result;
  RoomMap& map = result.map;
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
  MapJudge judge(room, request);
  std::vector<std::optional<JudgedCell>> found(each.size());
  tbb::parallel_for(std::size_t{0}, each.size(),
                    [&](std::size_t i) { found[i] = judge.judge(*each[i]); });
  std::vector<JudgedCell> lit;
  for (const auto& cell : found) {
    if (cell) lit.push_back(*cell);
  }
  if (const auto caution = flashing_on(lit, request)) result.cautions.push_back(*caution);
  if (judge.relies_on_phases()) {
    result.cautions.push_back(
        {"relies_on_phases",
         "Part of the map is clean only because alike fixtures hang on different supply phases and "
         "fill each other's dips; in step it would not be. It holds while all of them are lit, "
         "alike and wired as the file says: prove it with a clip."});
  }
  result.of_worst = of_worst(lit, room, request);
  return result;
}

}  // namespace lampbeat::reasoning::room
