#include "footage/stretches/moving_part.hpp"

#include <algorithm>
#include <cmath>

#include "footage/rows/ratios.hpp"

namespace lampbeat::footage::stretches {

clips::Plane moving_part(const rows::Cells& cells) {
  const std::size_t frames = cells.frames();
  const auto scene =
      rows::scene_of(cells, clips::Plane(frames, cells.rows), std::vector<double>(frames, 1.0));
  clips::Plane plane = rows::ratios(cells, scene);
  std::vector<double> known;
  std::vector<double> row_sum(plane.rows, 0.0);
  std::vector<double> row_count(plane.rows, 0.0);
  for (std::size_t n = 0; n < frames; ++n) {
    known.clear();
    for (std::size_t r = 0; r < plane.rows; ++r) {
      if (!std::isnan(plane.at(n, r))) known.push_back(plane.at(n, r));
    }
    double level = 0.0;
    for (const double v : known) level += v;
    level = known.empty() ? 1.0 : std::max(level / static_cast<double>(known.size()), 1e-3);
    for (std::size_t r = 0; r < plane.rows; ++r) {
      double& v = plane.at(n, r);
      v = v / level - 1.0;
      if (std::isnan(v)) continue;
      row_sum[r] += v;
      row_count[r] += 1.0;
    }
  }
  for (std::size_t n = 0; n < frames; ++n) {
    for (std::size_t r = 0; r < plane.rows; ++r) {
      double& v = plane.at(n, r);
      v = std::isnan(v) ? 0.0 : v - row_sum[r] / std::max(row_count[r], 1.0);
    }
  }
  return plane;
}

}  // namespace lampbeat::footage::stretches
