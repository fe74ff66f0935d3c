#include "footage/stretches/levels.hpp"

#include <algorithm>
#include <cmath>

#include "arithmetic/median.hpp"

namespace lampbeat::footage::stretches {

std::vector<double> levels_of(const clips::Plane& ratio, const clips::Plane& pattern) {
  std::vector<double> level(ratio.frames, 1.0);
  std::vector<double> known;
  for (std::size_t n = 0; n < ratio.frames; ++n) {
    known.clear();
    for (std::size_t r = 0; r < ratio.rows; ++r) {
      const double v = ratio.at(n, r) / std::max(1.0 + pattern.at(n, r), nearly_dark);
      if (!std::isnan(v)) known.push_back(v);
    }
    if (!known.empty()) level[n] = arithmetic::median(known);
  }
  return level;
}

double unrest_of(const clips::Plane& ratio, const clips::Plane& pattern,
                 const std::vector<double>& level) {
  std::vector<double> off;
  off.reserve(ratio.value.size());
  for (std::size_t n = 0; n < ratio.frames; ++n) {
    for (std::size_t r = 0; r < ratio.rows; ++r) {
      const double v = ratio.at(n, r);
      if (!std::isnan(v)) off.push_back(std::abs(v - level[n] * (1.0 + pattern.at(n, r))));
    }
  }
  return off.empty() ? 0.0 : arithmetic::normal_sd * arithmetic::median(off);
}

void pull_in(clips::Plane& ratio, const clips::Plane& pattern, const std::vector<double>& level,
             double reach) {
  for (std::size_t n = 0; n < ratio.frames; ++n) {
    for (std::size_t r = 0; r < ratio.rows; ++r) {
      const double expected = level[n] * (1.0 + pattern.at(n, r));
      double& v = ratio.at(n, r);
      v = std::isnan(v) ? expected : expected + std::clamp(v - expected, -reach, reach);
    }
  }
}

std::vector<double> frame_means_of(const clips::Plane& ratio) {
  std::vector<double> means(ratio.frames);
  for (std::size_t n = 0; n < ratio.frames; ++n) {
    double sum = 0.0;
    for (std::size_t r = 0; r < ratio.rows; ++r) sum += ratio.at(n, r);
    means[n] = sum / static_cast<double>(ratio.rows);
  }
  return means;
}

void centre(clips::Plane& plane) {
  std::vector<double> row_mean(plane.rows, 0.0);
  for (std::size_t n = 0; n < plane.frames; ++n) {
    double frame_mean = 0.0;
    for (std::size_t r = 0; r < plane.rows; ++r) frame_mean += plane.at(n, r);
    frame_mean /= static_cast<double>(plane.rows);
    for (std::size_t r = 0; r < plane.rows; ++r) {
      plane.at(n, r) -= frame_mean;
      row_mean[r] += plane.at(n, r);
    }
  }
  for (std::size_t n = 0; n < plane.frames; ++n) {
    for (std::size_t r = 0; r < plane.rows; ++r) {
      plane.at(n, r) -= row_mean[r] / static_cast<double>(plane.frames);
    }
  }
}

}  // namespace lampbeat::footage::stretches
