#include <fmt/format.h>

#include <algorithm>

#include "report/plots/frame.hpp"
#include "report/plots/plots.hpp"
#include "report/plots/ticks.hpp"
#include "words/numbers.hpp"
#include "words/units.hpp"

namespace lampbeat::report::plots {

namespace {

constexpr int cycles_shown = 3;
constexpr std::size_t most_points = 240;  // per cycle; more is invisible at this size

}  // namespace

std::string waveform_svg(const Measurement& m) {
  if (!m.cycle || m.cycle->shape.size() < 2) return {};
  const auto [lowest, highest] = std::minmax_element(m.cycle->shape.begin(), m.cycle->shape.end());
  const double cycle_ms = 1000.0 / m.cycle->hz;
  const Axis x{0.0, cycles_shown * cycle_ms, 50.0, plot_width - 12.0};
  const Axis y{0.0, std::max(125.0, *highest * 112.0), plot_height - 44.0, 14.0};

  Svg svg("waveform", plot_width, plot_height, "The light over three of its cycles",
          fmt::format("Brightness as a percentage of the mean against time in milliseconds. One "
                      "cycle lasts {} ms. The light swings between {} % and {} % of its mean.",
                      words::in_digits(cycle_ms), words::in_digits(*lowest * 100),
                      words::in_digits(*highest * 100)));
  draw_grid(svg, x, ticks(x.low, x.high, 6), "time, ms", y, ticks(y.low, y.high, 5),
            "light, % of its mean");

  const std::size_t n = m.cycle->shape.size();
  const std::size_t step = std::max<std::size_t>(1, n / most_points);
  std::vector<std::pair<double, double>> curve;
  for (int cycle = 0; cycle < cycles_shown; ++cycle) {
    for (std::size_t i = 0; i < n; i += step) {
      const double t = (cycle + static_cast<double>(i) / static_cast<double>(n)) * cycle_ms;
      curve.emplace_back(x.at(t), y.at(100.0 * m.cycle->shape[i]));
    }
  }
  curve.emplace_back(x.to, y.at(100.0 * m.cycle->shape.front()));
  svg.path(path_through(curve) +
               fmt::format("L{:.2f} {:.2f}L{:.2f} {:.2f}Z", x.to, y.from, x.from, y.from),
           "glow");
  svg.line(x.from, y.at(100), x.to, y.at(100), "mean-line", "the mean, which a long exposure sees");
  svg.path(
      path_through(curve), "light-line",
      fmt::format("one cycle: {} ms, {}", words::in_digits(cycle_ms), words::hertz(m.cycle->hz)));

  const auto spot = [&](auto extreme, const char* word, double dy) {
    const double phase =
        static_cast<double>(extreme - m.cycle->shape.begin()) / static_cast<double>(n);
    const double px = x.at((1.0 + phase) * cycle_ms);
    const double py = y.at(100.0 * *extreme);
    svg.circle(px, py, 3.5, "spot");
    svg.text(std::clamp(px, x.from + 50, x.to - 50), py + dy,
             fmt::format("{} {} %", word, words::in_digits(*extreme * 100)), "label halo",
             Anchor::middle);
  };
  spot(highest, "highest", -9.0);
  spot(lowest, "lowest", y.at(100.0 * *lowest) > y.from - 24 ? -8.0 : 18.0);
  svg.text(x.to - 4, y.from - 5, "0 = dark", "quiet halo", Anchor::end);
  return svg.finish();
}

}  // namespace lampbeat::report::plots
