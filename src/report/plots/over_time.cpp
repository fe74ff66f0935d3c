#include <fmt/format.h>

#include <algorithm>

#include "report/plots/frame.hpp"
#include "report/plots/plots.hpp"
#include "report/plots/ticks.hpp"
#include "words/numbers.hpp"
#include "words/units.hpp"

namespace lampbeat::report::plots {

std::string over_time_svg(const Measurement& m) {
  double highest = 0.0;
  double end_s = 0.0;
  int known = 0;
  for (const WindowFigures& w : m.over_time.windows) {
    if (!w.percent_flicker) continue;
    ++known;
    highest = std::max(highest, *w.percent_flicker);
    end_s = std::max(end_s, w.start_s + w.duration_s);
  }
  if (known < 3 || !(end_s > 0.0)) return {};

  const Axis x{0.0, end_s, 50.0, plot_width - 12.0};
  const Axis y{0.0, std::max(highest * 1.25, 1.0), plot_height - 44.0, 14.0};
  Svg svg("over-time", plot_width, plot_height, "Percent flicker through the capture",
          fmt::format("Percent flicker of {} windows over {} seconds; the worst is {}.", known,
                      words::in_digits(end_s), words::percent(highest)));
  draw_grid(svg, x, ticks(0.0, end_s, 6), "time, s", y, ticks(0.0, y.high, 5),
            "percent flicker, %");
  for (const WindowFigures& w : m.over_time.windows) {
    if (!w.percent_flicker) continue;
    const double py = y.at(*w.percent_flicker);
    const double width = std::max(1.0, x.at(w.start_s + w.duration_s) - x.at(w.start_s) - 1.0);
    svg.rect(x.at(w.start_s), py - 1.5, width, 3.0, "window-mark",
             fmt::format("from {} s: {}", words::in_digits(w.start_s),
                         words::percent(*w.percent_flicker)));
  }
  if (m.over_time.worst_start_s && m.over_time.worst_percent_flicker) {
    const double px = std::clamp(x.at(*m.over_time.worst_start_s), x.from + 40, x.to - 40);
    svg.text(px, y.at(*m.over_time.worst_percent_flicker) - 8,
             "worst " + words::percent(*m.over_time.worst_percent_flicker), "label halo",
             Anchor::middle);
  }
  return svg.finish();
}

}  // namespace lampbeat::report::plots
