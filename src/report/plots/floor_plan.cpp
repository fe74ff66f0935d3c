#include "report/plots/floor_plan.hpp"

#include <algorithm>
#include <cmath>

namespace lampbeat::report::plots {

namespace {

double part_of(double value) { return value - std::floor(value); }

/// How far one may go from `at` towards `along` (a part of a metre, either sign) before a wall.
double reach(double at_m, double along, double side_m, double most_m) {
  if (along > 0.0) return std::min(most_m, std::max(0.0, (side_m - at_m) / along));
  if (along < 0.0) return std::min(most_m, std::max(0.0, at_m / -along));
  return most_m;
}

}  // namespace

Box FloorPlan::cell(std::size_t row, std::size_t column) const {
  const double left = box.left + scale * step_m * static_cast<double>(column);
  const double bottom = box.bottom - scale * step_m * static_cast<double>(row);
  return {left, std::max(box.top, bottom - scale * step_m),
          std::min(box.right, left + scale * step_m), bottom};
}

FloorPlan floor_plan(const Vector3& size_m, double step_m, const Box& area) {
  FloorPlan plan;
  plan.step_m = step_m;
  plan.scale = std::min(area.width() / size_m.x, area.height() / size_m.y);
  const double left = (area.left + area.right - plan.scale * size_m.x) / 2.0;
  plan.box = {left, area.top, left + plan.scale * size_m.x, area.top + plan.scale * size_m.y};
  return plan;
}

CellLook look_of(const MapCell& cell) {
  if (!cell.visibility) return CellLook::no_light;
  switch (cell.verdict) {
    case Verdict::clean:
      return CellLook::clean;
    case Verdict::borderline:
      return CellLook::borderline;
    case Verdict::visible:
      return CellLook::visible;
    case Verdict::strong:
      break;
  }
  return CellLook::strong;
}

const char* look_word(CellLook look) {
  switch (look) {
    case CellLook::clean:
      return verdict_word(Verdict::clean);
    case CellLook::borderline:
      return verdict_word(Verdict::borderline);
    case CellLook::visible:
      return verdict_word(Verdict::visible);
    case CellLook::strong:
      return verdict_word(Verdict::strong);
    case CellLook::no_light:
      break;
  }
  return "no light";
}

Stripes stripes_of(CellLook look) {
  switch (look) {
    case CellLook::borderline:
      return {1, true, 0.5, 1.0};
    case CellLook::visible:
      return {2, false, 0.25, 0.75};
    case CellLook::strong:
      return {4, false, 0.25, 0.75};
    case CellLook::clean:
    case CellLook::no_light:
      break;
  }
  return {};
}

bool is_inked(CellLook look, double across, double down) {
  if (look == CellLook::clean) return true;
  if (look == CellLook::no_light) {
    return std::hypot(part_of(across) - 0.5, part_of(down) - 0.5) < dot_radius;
  }
  const Stripes stripes = stripes_of(look);
  const double at = part_of((stripes.upright ? across : down) * stripes.to_a_tile);
  return at >= stripes.from && at < stripes.to;
}

double tile_side(double cell_side, double least) {
  return cell_side / std::max(1.0, std::floor(cell_side / least));
}

FloorLine line_of(const Fixture& fixture, const Vector3& size_m) {
  const Vector3& at = fixture.at_m;
  const Vector3& along = fixture.along;
  const auto end = [&](double way) {
    const double half_m = fixture.length_m / 2.0;
    return way * std::min(reach(at.x, way * along.x, size_m.x, half_m),
                          reach(at.y, way * along.y, size_m.y, half_m));
  };
  const double from = end(-1.0);
  const double to = end(1.0);
  return {at.x + from * along.x, at.y + from * along.y, at.x + to * along.x, at.y + to * along.y};
}

std::vector<FloorLine> borders_between(const std::vector<std::vector<int>>& grades, double step_m,
                                       const Vector3& size_m) {
  std::vector<FloorLine> lines;
  if (grades.empty()) return lines;
  const std::size_t rows = grades.size();
  const std::size_t columns = grades.front().size();
  const auto x_m = [&](std::size_t i) {
    return std::min(size_m.x, step_m * static_cast<double>(i));
  };
  const auto y_m = [&](std::size_t i) {
    return std::min(size_m.y, step_m * static_cast<double>(i));
  };
  for (std::size_t row = 1; row < rows; ++row) {
    for (std::size_t from = 0; from < columns;) {
      std::size_t to = from;
      while (to < columns && grades[row - 1][to] != grades[row][to]) ++to;
      if (to > from) lines.push_back({x_m(from), y_m(row), x_m(to), y_m(row)});
      from = to + 1;
    }
  }
  for (std::size_t column = 1; column < columns; ++column) {
    for (std::size_t from = 0; from < rows;) {
      std::size_t to = from;
      while (to < rows && grades[to][column - 1] != grades[to][column]) ++to;
      if (to > from) lines.push_back({x_m(column), y_m(from), x_m(column), y_m(to)});
      from = to + 1;
    }
  }
  return lines;
}

std::string fixture_tag(std::size_t index) { return std::to_string(index + 1); }

std::string place_tag(std::size_t index) {
  constexpr std::size_t letters = 26;
  std::string tag;
  for (std::size_t left = index + 1; left > 0; left = (left - 1) / letters) {
    tag.insert(tag.begin(), static_cast<char>('A' + (left - 1) % letters));
  }
  return tag;
}

}  // namespace lampbeat::report::plots
