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

// Of the light: flat rows still get an axis.
constexpr double least_swing = 0.005;
constexpr double room = 1.15;

double widest_swing(const FootageResult& f) {
  double swing = least_swing;
  for (const double light : f.view.row_profile) swing = std::max(swing, std::abs(light - 1.0));
  for (const double pattern : f.row_pattern) swing = std::max(swing, std::abs(pattern));
  return room * swing;
}

/// A line down the rows, `offset` added to each value.
std::string down_the_rows(const std::vector<double>& values, double offset, const Axis& x,
                          const Axis& y) {
  std::vector<std::pair<double, double>> points;
  for (std::size_t r = 0; r < values.size(); ++r) {
    const double place = (static_cast<double>(r) + 0.5) / static_cast<double>(values.size());
    points.emplace_back(x.at(100.0 * (values[r] + offset)), y.at(100.0 * place));
  }
  return path_through(points);
}

}  // namespace

std::string row_profile_svg(const FootageResult& f) {
  if (f.view.row_profile.size() < 2) return {};
  const double swing = widest_swing(f);
  const double darkest = std::max(0.0, 100.0 * (1.0 - swing));
  const Axis x{darkest, 100.0 * (1.0 + swing), 50.0, plot_width - 12.0};
  const Axis y{0.0, 100.0, 14.0, plot_height - 44.0};
  Svg svg(
      "row-profile", plot_width, plot_height, "Light of the rows of one frame",
      f.band_percent
          ? fmt::format("Measured light of each row from top to bottom, and the fitted bands, "
                        "{} % deep.",
                        words::in_digits(*f.band_percent, 2))
          : std::string("Measured light of each row from top to bottom; no bands were fitted."));
  // The grid's names stand at the bottom, where the axis of the places ends.
  draw_grid(svg, x, ticks(darkest, x.high, 5), "light of the row, % of the mean",
            {100.0, 0.0, plot_height - 44.0, 14.0}, {0.0, 25.0, 50.0, 75.0, 100.0},
            "place, % from the top");
  svg.path(down_the_rows(f.view.row_profile, 0.0, x, y), "row-line");
  if (!f.row_pattern.empty()) {
    svg.path(down_the_rows(f.row_pattern, 1.0, x, y), "light-line", "the fitted bands");
  }
  return svg.finish();
}

}  // namespace lampbeat::report::plots
