#include "footage/rows/ratios.hpp"

#include <algorithm>
#include <array>
#include <cmath>
#include <limits>
#include <span>

#include "arithmetic/median.hpp"

namespace lampbeat::footage::rows {

namespace {

// Share of a bright cell of the picture. In eight bits of BT.709 and beside a bright half of white,
// one code is 5 % of such light, and a black level that is off by one makes as much: ratios are
// worthless.
constexpr float too_dark = 0.04F;
// The same of a pattern at its darkest, relative to its mean.
constexpr double nearly_dark = 0.02;

/// Sorts out cells that are nearly black compared with the bright ones.
void drop_dark_cells(std::vector<float>& scene) {
  std::vector<double> known;
  for (const float value : scene) {
    if (!std::isnan(value)) known.push_back(static_cast<double>(value));
  }
  if (known.empty()) return;
  const double bright = arithmetic::nth_smallest(known, known.size() * 9 / 10);
  const float least = std::max(1e-5F, too_dark * static_cast<float>(bright));
  for (float& value : scene) {
    if (!(value >= least)) value = std::numeric_limits<float>::quiet_NaN();
  }
}

}  // namespace

std::vector<float> scene_of(const Cells& cells, const clips::Plane& pattern,
                            const std::vector<double>& gain) {
  const std::size_t frames = cells.frames();
  std::vector<float> scene(cells.frame_size());
  std::vector<float> row_light(frames * cells.strips);
  std::vector<double> seen;
  for (std::size_t row = 0; row < cells.rows; ++row) {
    for (std::size_t n = 0; n < frames; ++n) {
      cells.read_row(n, row, std::span(row_light).subspan(n * cells.strips, cells.strips));
    }
    for (std::size_t s = 0; s < cells.strips; ++s) {
      seen.clear();
      for (std::size_t n = 0; n < frames; ++n) {
        const float value = row_light[n * cells.strips + s];
        const double light = (1.0 + pattern.at(n, row)) * gain[n];
        if (!std::isnan(value) && light > nearly_dark)
          seen.push_back(static_cast<double>(value) / light);
      }
      scene[row * cells.strips + s] = 2 * seen.size() > frames
                                          ? static_cast<float>(arithmetic::median(seen))
                                          : std::numeric_limits<float>::quiet_NaN();
    }
  }
  drop_dark_cells(scene);
  return scene;
}

clips::Plane ratios(const Cells& cells, const std::vector<float>& scene) {
  clips::Plane ratio(cells.frames(), cells.rows);
  std::vector<double> strips;
  std::vector<float> light(cells.strips);
  for (std::size_t n = 0; n < ratio.frames; ++n) {
    for (std::size_t row = 0; row < ratio.rows; ++row) {
      strips.clear();
      cells.read_row(n, row, light);
      for (std::size_t s = 0; s < cells.strips; ++s) {
        const float r = light[s] / scene[row * cells.strips + s];
        if (!std::isnan(r)) strips.push_back(static_cast<double>(r));
      }
      ratio.at(n, row) = strips.empty() ? unusable : arithmetic::median(strips);
    }
  }
  return ratio;
}

}  // namespace lampbeat::footage::rows
