#include <fmt/format.h>

#include <algorithm>

#include "report/component_size.hpp"
#include "report/plots/frame.hpp"
#include "report/plots/plots.hpp"
#include "report/plots/ticks.hpp"
#include "words/numbers.hpp"
#include "words/units.hpp"

namespace lampbeat::report::plots {

namespace {

using report::size_of;

/// Strongest value within each column of the drawing: narrow lines must not fall between pixels.
std::vector<std::pair<double, double>> by_column(const Spectrum& spectrum,
                                                 const std::vector<double>& values, const Axis& x,
                                                 const Axis& y, bool strongest) {
  std::vector<std::pair<double, double>> points;
  for (std::size_t i = 1; i < values.size(); ++i) {
    const double hz = static_cast<double>(i) * spectrum.bin_hz;
    if (hz < x.low || hz > x.high) continue;
    const double px = std::round(x.at(hz));
    const double py = y.at(std::clamp(values[i], y.low, y.high));
    if (points.empty() || points.back().first < px) {
      points.emplace_back(px, py);
    } else if (strongest) {
      points.back().second = std::min(points.back().second, py);
    }
  }
  return points;
}

std::string named(const MeasuredComponent& c) {
  std::string name = words::hertz(c.hz);
  name += c.mains_order ? fmt::format(" = {} × mains", *c.mains_order)
                        : fmt::format(", {}", kind_word(c.kind));
  return fmt::format("{}: {}", name, words::percent(size_of(c)));
}

/// Free places for labels: a label that would cover another is left to the hover title and table.
class Places {
 public:
  bool take(double x, double y, double width) {
    for (const auto& [ox, oy, owidth] : taken_) {
      if (std::abs(x - ox) < (width + owidth) / 2 + 4 && std::abs(y - oy) < 15) return false;
    }
    taken_.push_back({x, y, width});
    return true;
  }

 private:
  struct Place {
    double x, y, width;
  };
  std::vector<Place> taken_;
};

}  // namespace

std::string spectrum_svg(const Measurement& m) {
  const Spectrum& s = m.spectrum;
  if (s.amplitude.size() < 8 || !(s.bin_hz > 0.0)) return {};
  const double top_hz = s.bin_hz * static_cast<double>(s.amplitude.size() - 1);
  double strongest = *std::max_element(s.amplitude.begin() + 1, s.amplitude.end());
  for (const MeasuredComponent& c : m.components) strongest = std::max(strongest, size_of(c));
  if (!(strongest > 0.0)) return {};
  const double middle_floor = s.floor.empty() ? strongest * 1e-3 : s.floor[s.floor.size() / 2];
  const double high = std::pow(10.0, std::ceil(std::log10(strongest) + 0.25));
  const double low =
      std::clamp(std::pow(10.0, std::floor(std::log10(std::max(middle_floor, 1e-9)))), high * 1e-6,
                 high * 1e-2);

  const Axis x{std::min(10.0, top_hz / 10.0), top_hz, 50.0, plot_width - 12.0, true};
  const Axis y{low, high, plot_height - 44.0, 14.0, true};
  const bool relative = !m.components.empty() && !m.components.front().percent;
  const std::string unit = relative ? "% of the strongest" : "% of the mean";
  std::string described = "Amplitude in " + unit +
                          " against frequency in hertz, both "
                          "logarithmic. Strongest first: ";
  for (std::size_t i = 0; i < std::min<std::size_t>(5, m.components.size()); ++i) {
    described += (i ? "; " : "") + named(m.components[i]);
  }
  if (m.components.empty()) described += "no rhythm stands out of the noise";
  Svg svg("spectrum", plot_width, plot_height, "Which rhythms the light holds", described + ".");
  draw_grid(svg, x, log_ticks(x.low, x.high), "frequency, Hz", y, log_ticks(y.low, y.high),
            "amplitude, " + unit);

  auto curve = by_column(s, s.amplitude, x, y, true);
  if (!curve.empty()) {
    svg.path(path_through(curve) + fmt::format("L{:.2f} {:.2f}L{:.2f} {:.2f}Z", curve.back().first,
                                               y.from, curve.front().first, y.from),
             "spectrum-area");
  }
  const auto floor = by_column(s, s.floor, x, y, false);
  if (floor.size() > 8) {
    svg.path(path_through(floor), "floor-line", "noise floor: nothing below it can be told apart");
  }

  Places places;
  int labelled = 0;
  for (const MeasuredComponent& c : m.components) {
    if (c.hz < x.low || c.hz > x.high || size_of(c) < y.low) continue;
    const double px = x.at(c.hz);
    const double py = y.at(std::min(size_of(c), y.high));
    svg.line(px, y.from, px, py, "stem");
    if (c.mains_order) {
      svg.circle(px, py, 4.0, "spot", named(c));
    } else {
      svg.path(fmt::format("M{:.2f} {:.2f}l5 5l-5 5l-5 -5Z", px, py - 5), "spot hollow", named(c));
    }
    const std::string label =
        fmt::format("{} · {}", words::hertz(c.hz), words::percent(size_of(c)));
    constexpr double letter = 7.3;  // drawing units, the mean of the label's face
    const double width = letter * static_cast<double>(label.size() - 1);  // "·" is two bytes
    const double lx = std::clamp(px, x.from + width / 2 + 2, x.to - width / 2);
    if (labelled < 5 && py - 8 > 12 && places.take(lx, py - 9, width)) {
      svg.text(lx, py - 9, label, "label halo", Anchor::middle);
      ++labelled;
    }
  }
  if (floor.size() > 8) {
    const auto& spot = floor[floor.size() / 8];
    if (places.take(spot.first + 36, spot.second - 6, 76)) {
      svg.text(spot.first, spot.second - 6, "noise floor", "quiet halo");
    }
  }
  return svg.finish();
}

}  // namespace lampbeat::report::plots
