#include "footage/answer/view.hpp"

#include <algorithm>
#include <cmath>
#include <cstddef>

#include "arithmetic/median.hpp"
#include "footage/waves/contrasts.hpp"

namespace lampbeat::footage::answer {

namespace {

// Some seconds: in a plot, pulses of more would run into one another.
constexpr std::size_t most_levels = 120;
// Turns after which every row has seen all of the pattern, so that the scene holds none of it.
constexpr double all_of_it = 1.0;

/// Whether the bands ran on far enough to be divided from the scene.
bool scene_is_known(const stretches::Watched& watched, const Evidence& evidence) {
  if (watched.format.still || watched.uneven || evidence.waves.empty()) return false;
  const waves::Wave& first = evidence.waves.front();
  return std::abs(first.strongest().order * first.roll) * static_cast<double>(watched.taken) >=
         all_of_it;
}

/// Mean over the rows of the pattern fitted to them, which has not gone through whole cycles.
double level_of(const std::vector<double>& row_pattern) {
  double sum = 0.0;
  for (const double value : row_pattern) sum += value;
  return row_pattern.empty() ? 1.0 : 1.0 + sum / static_cast<double>(row_pattern.size());
}

/// Of the first frame: medians over the strips, together as bright as the fitted pattern is.
std::vector<double> row_profile(const stretches::Watched& watched, bool divide, double level) {
  const std::size_t strips = watched.layout.strips;
  std::vector<double> profile;
  std::vector<double> row;
  double sum = 0.0;
  double known = 0.0;
  for (std::size_t r = 0; r < watched.layout.rows; ++r) {
    row.clear();
    for (std::size_t s = 0; s < strips; ++s) {
      const std::size_t i = r * strips + s;
      const float scene = divide && i < watched.scene.size() ? watched.scene[i] : 1.0F;
      const float light = watched.first_frame[i] / scene;
      if (std::isfinite(light)) row.push_back(static_cast<double>(light));
    }
    profile.push_back(row.empty() ? rows::unusable : arithmetic::median(row));
    if (row.empty()) continue;
    sum += profile.back();
    known += 1.0;
  }
  if (!(sum > 0.0)) return {};
  for (double& light : profile) light *= level * known / sum;
  // A row that says nothing is drawn as its neighbour, so that no figure is missing.
  for (std::size_t r = 1; r < profile.size(); ++r) {
    if (std::isnan(profile[r])) profile[r] = profile[r - 1];
  }
  for (std::size_t r = profile.size(); r-- > 1;) {
    if (std::isnan(profile[r - 1])) profile[r - 1] = profile[r];
  }
  return profile;
}

std::vector<RowSpan> dark_bands(const std::vector<double>& pattern) {
  std::vector<RowSpan> bands;
  const auto share = [&](std::size_t row) {
    return static_cast<double>(row) / static_cast<double>(pattern.size());
  };
  for (std::size_t r = 0; r < pattern.size(); ++r) {
    if (pattern[r] >= 0.0) continue;
    const bool begins = r == 0 || pattern[r - 1] >= 0.0;
    if (begins) bands.push_back({share(r), share(r + 1)});
    bands.back().to = share(r + 1);
  }
  return bands;
}

std::vector<ClipStretch> course(const stretches::Watched& watched, const Evidence& evidence) {
  std::vector<ClipStretch> all;
  if (!watched.fps) return all;
  for (const stretches::Passed& passed : watched.course) {
    ClipStretch stretch;
    stretch.from_s = static_cast<double>(passed.from) / *watched.fps;
    stretch.to_s = static_cast<double>(passed.to) / *watched.fps;
    if (!passed.waves.empty() && !evidence.waves.empty()) {
      stretch.band_percent = 100.0 * waves::band_contrast(passed.waves, watched.format.height);
    }
    all.push_back(stretch);
  }
  return all;
}

std::vector<double> frame_levels(const stretches::Watched& watched) {
  std::vector<double> levels(
      watched.frame_means.begin(),
      watched.frame_means.begin() +
          static_cast<std::ptrdiff_t>(std::min(most_levels, watched.frame_means.size())));
  std::erase_if(levels, [](double level) { return !std::isfinite(level); });
  double sum = 0.0;
  for (const double level : levels) sum += level;
  if (!(sum > 0.0)) return {};
  for (double& level : levels) level *= static_cast<double>(levels.size()) / sum;
  return levels;
}

}  // namespace

FootageView view_of(const stretches::Watched& watched, const Evidence& evidence,
                    const std::vector<double>& row_pattern) {
  FootageView view;
  view.picture = watched.picture;
  view.row_profile = row_profile(watched, scene_is_known(watched, evidence), level_of(row_pattern));
  view.dark_bands = dark_bands(row_pattern);
  view.course = course(watched, evidence);
  if (watched.fps) view.frame_levels = frame_levels(watched);
  return view;
}

}  // namespace lampbeat::footage::answer
