#include "footage/waves/row_profile.hpp"

#include <algorithm>
#include <cmath>

#include "arithmetic/median.hpp"

namespace lampbeat::footage::waves {

namespace {

// A lens darkens towards the edges and a lamp towards the far side: a slope, a vignette, and their
// lack of symmetry.
constexpr int wall_shading_degree = 3;
// The quotient of two views holds no shading, but less than this of a band is a slope.
constexpr double fewest_against_reference = 0.4;
// Of the picture: thick enough that noise averages out, thin beside any band that counts.
constexpr std::size_t parts = 24;

double median_ratio(std::vector<double>& ratios) {
  return ratios.empty() ? rows::unusable : arithmetic::median(ratios);
}

}  // namespace

RowProfile wall_profile(const std::vector<float>& scene, const rows::Cells& layout) {
  // Each strip against its own middle: light may fall off across the picture.
  RowProfile profile{std::vector<double>(layout.rows, rows::unusable), layout.scale,
                     wall_shading_degree, fewest_on_wall};
  std::vector<double> middle(layout.strips);
  for (std::size_t s = 0; s < layout.strips; ++s) {
    std::vector<double> known;
    for (std::size_t r = 0; r < layout.rows; ++r) {
      const float v = scene[r * layout.strips + s];
      if (!std::isnan(v)) known.push_back(static_cast<double>(v));
    }
    middle[s] = median_ratio(known);
  }
  for (std::size_t r = 0; r < layout.rows; ++r) {
    std::vector<double> strips;
    for (std::size_t s = 0; s < layout.strips; ++s) {
      const double v = static_cast<double>(scene[r * layout.strips + s]) / middle[s];
      if (!std::isnan(v)) strips.push_back(v);
    }
    profile.value[r] = median_ratio(strips);
  }
  return profile;
}

RowProfile against_reference(const std::vector<float>& scene, const std::vector<float>& reference,
                             const rows::Cells& layout) {
  RowProfile profile{std::vector<double>(layout.rows, rows::unusable), layout.scale, 0,
                     fewest_against_reference};
  for (std::size_t r = 0; r < layout.rows; ++r) {
    std::vector<double> strips;
    for (std::size_t s = 0; s < layout.strips; ++s) {
      const std::size_t cell = r * layout.strips + s;
      const float v = scene[cell] / reference[cell];
      if (!std::isnan(v)) strips.push_back(static_cast<double>(v));
    }
    profile.value[r] = median_ratio(strips);
  }
  return profile;
}

double whole_contrast(const RowProfile& profile) {
  const std::size_t block = std::max<std::size_t>(profile.value.size() / parts, 1);
  std::vector<double> means;
  for (std::size_t from = 0; from + block <= profile.value.size(); from += block) {
    double sum = 0.0;
    double known = 0.0;
    for (std::size_t r = from; r < from + block; ++r) {
      if (std::isnan(profile.value[r])) continue;
      sum += profile.value[r];
      known += 1.0;
    }
    if (2.0 * known >= static_cast<double>(block)) means.push_back(sum / known);
  }
  if (means.empty()) return 1.0;
  const auto [low, high] = std::minmax_element(means.begin(), means.end());
  return (*high - *low) / std::max(*high + *low, 1e-9);
}

}  // namespace lampbeat::footage::waves
