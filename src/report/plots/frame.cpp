#include "report/plots/frame.hpp"

#include <fmt/format.h>

namespace lampbeat::report::plots {

namespace {

std::string tick_label(double value) {
  if (std::abs(value) >= 1000.0) return fmt::format("{:g}k", value / 1000.0);
  return std::abs(value) < 1e-12 ? "0" : fmt::format("{:.4g}", value);
}

}  // namespace

void draw_grid(Svg& svg, const Axis& x, const std::vector<double>& x_ticks,
               const std::string& x_name, const Axis& y, const std::vector<double>& y_ticks,
               const std::string& y_name) {
  for (const double value : x_ticks) {
    svg.line(x.at(value), y.from, x.at(value), y.to, "grid");
    svg.text(x.at(value), y.from + 16, tick_label(value), "tick", Anchor::middle);
  }
  for (const double value : y_ticks) {
    svg.line(x.from, y.at(value), x.to, y.at(value), "grid");
    svg.text(x.from - 6, y.at(value) + 4, tick_label(value), "tick", Anchor::end);
  }
  svg.line(x.from, y.from, x.to, y.from, "axis");
  svg.line(x.from, y.from, x.from, y.to, "axis");
  svg.text((x.from + x.to) / 2, y.from + 35, x_name, "axis-name", Anchor::middle);
  svg.upright_text(13, (y.from + y.to) / 2, y_name, "axis-name");
}

}  // namespace lampbeat::report::plots
