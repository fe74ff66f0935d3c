#include <fmt/format.h>

#include <algorithm>
#include <cstddef>
#include <utility>
#include <vector>

#include "report/plots/frame.hpp"
#include "report/plots/plots.hpp"
#include "report/plots/ticks.hpp"
#include "words/numbers.hpp"

namespace lampbeat::report::plots {

namespace {

// Of the light: frames all alike still get an axis.
constexpr double least_span_percent = 0.5;
constexpr double above = 1.25;

Axis upwards(double low, double high) { return {low, high, plot_height - 44.0, 14.0}; }

}  // namespace

std::string clip_course_svg(const FootageResult& f) {
  double highest = 0.0;
  int known = 0;
  for (const ClipStretch& stretch : f.view.course) {
    if (!stretch.band_percent) continue;
    ++known;
    highest = std::max(highest, *stretch.band_percent);
  }
  if (known < 2) return {};
  const double end_s = f.view.course.back().to_s;
  const Axis x{0.0, end_s, 50.0, plot_width - 12.0};
  const Axis y = upwards(0.0, std::max(highest * above, least_span_percent));
  Svg svg("clip-course", plot_width, plot_height, "Depth of the bands through the clip",
          fmt::format("Depth of the bands in {} stretches over {} seconds; the deepest is {} %.",
                      known, words::in_digits(end_s), words::in_digits(highest)));
  draw_grid(svg, x, ticks(0.0, end_s, 6), "time, s", y, ticks(0.0, y.high, 5), "bands, %");
  for (const ClipStretch& stretch : f.view.course) {
    if (!stretch.band_percent) continue;
    const double width = std::max(1.0, x.at(stretch.to_s) - x.at(stretch.from_s) - 1.0);
    svg.rect(x.at(stretch.from_s), y.at(*stretch.band_percent) - 1.5, width, 3.0, "window-mark",
             fmt::format("from {} s: {} %", words::in_digits(stretch.from_s),
                         words::in_digits(*stretch.band_percent)));
  }
  return svg.finish();
}

std::string frame_levels_svg(const FootageResult& f) {
  const std::vector<double>& levels = f.view.frame_levels;
  if (levels.size() < 3) return {};
  const auto [low, high] = std::minmax_element(levels.begin(), levels.end());
  const double middle = 50.0 * (*low + *high);
  const double half = std::max(50.0 * (*high - *low) * above, least_span_percent);
  const auto last = static_cast<double>(levels.size() - 1);
  constexpr double room_for_decimals = 62.0;
  const Axis x{0.0, last, room_for_decimals, plot_width - 12.0};
  const Axis y = upwards(std::max(0.0, middle - half), middle + half);
  Svg svg(
      "frame-levels", plot_width, plot_height, "Light of whole frames",
      fmt::format("Mean light of the first {} frames, between {} and {} % of their mean.",
                  levels.size(), words::in_digits(100.0 * *low), words::in_digits(100.0 * *high)));
  draw_grid(svg, x, ticks(0.0, last, 6), "frame", y, ticks(y.low, y.high, 5),
            "light, % of the mean");
  std::vector<std::pair<double, double>> points;
  for (std::size_t n = 0; n < levels.size(); ++n) {
    points.emplace_back(x.at(static_cast<double>(n)), y.at(100.0 * levels[n]));
  }
  svg.path(path_through(points), "light-line");
  return svg.finish();
}

}  // namespace lampbeat::report::plots
