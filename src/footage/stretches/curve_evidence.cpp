#include "footage/stretches/curve_evidence.hpp"

#include <algorithm>
#include <cmath>

#include "arithmetic/median.hpp"

namespace lampbeat::footage::stretches {

namespace {

// Cells in so many rows of the picture say enough; a part of fewer cells says nothing.
constexpr std::size_t enough_rows = 60;
constexpr std::size_t fewest_cells = 6;
// The middle of many normal values scatters by so much more than their mean: √(π/2).
constexpr double median_over_mean = 1.2533;
// Signal below which black level and noise decide what a cell does.
constexpr double darkest_signal = 0.06;
// Of places: three rows of them, five to a row.
constexpr std::size_t places_down = 3;
constexpr std::size_t places_across = 5;
static_assert(places_down * places_across <= picture_parts);

/// A cell's light over time against the pattern it should follow.
struct Regression {
  double n = 0.0, x = 0.0, y = 0.0, xx = 0.0, xy = 0.0;
  void add(double pattern, double light) {
    n += 1.0;
    x += pattern;
    y += light;
    xx += pattern * pattern;
    xy += pattern * light;
  }
  bool enough() const { return n >= 8.0 && xx - x * x / n > 1e-12 * n && y > 0.0; }
  /// Slope over the light at no pattern.
  double depth() const {
    const double slope = (xy - x * y / n) / (xx - x * x / n);
    return slope / ((y - slope * x) / n);
  }
};

struct CellDepths {
  Regression assumed;
  std::array<Regression, known_curves.size()> curve;
};

/// Empty for a cell that was burnt out at times, or hardly saw the wave move.
std::optional<CellDepths> depths_of_cell(const rows::Cells& cells, std::size_t row,
                                         std::size_t strip, const std::vector<double>& gain,
                                         const clips::Plane& pattern, const Redecoder& redecoder) {
  CellDepths depths;
  for (std::size_t n = 0; n < cells.frames(); ++n) {
    const double light = static_cast<double>(cells.at(n, row, strip));
    if (std::isnan(light)) {
      // A missing frame is missing in all cells; one missing here alone was burnt out.
      if (!std::isnan(cells.at(n, 0, 0))) return std::nullopt;
      continue;
    }
    const double even = light / gain[n];
    depths.assumed.add(pattern.at(n, row), even);
    const double signal = redecoder.signal_of(even);
    for (std::size_t c = 0; c < known_curves.size(); ++c) {
      depths.curve[c].add(pattern.at(n, row), redecoder.light(c, signal));
    }
  }
  if (!depths.assumed.enough()) return std::nullopt;
  return depths;
}

using Gathered = std::array<std::vector<double>, picture_parts>;

PartDepths typical(Gathered parts) {
  PartDepths depths;
  for (std::size_t k = 0; k < picture_parts; ++k) {
    std::vector<double>& values = parts[k];
    if (values.size() < fewest_cells) continue;
    const double middle = arithmetic::median(values);
    for (double& v : values) v = std::abs(v - middle);
    const double sd = arithmetic::normal_sd * median_over_mean * arithmetic::median(values) /
                      std::sqrt(static_cast<double>(values.size()));
    const double variance = sd * sd + least_depth_sd * least_depth_sd * middle * middle;
    if (variance > 0.0) depths[k] = {middle, variance};
  }
  return depths;
}

/// Depths of cells, gathered by part of the picture.
struct GatheredDepths {
  Gathered by_brightness;
  Gathered by_place;

  void add(std::size_t brightness, std::size_t place, double depth) {
    if (!std::isfinite(depth)) return;
    by_brightness[brightness].push_back(depth);
    by_place[place].push_back(depth);
  }
  CurveDepths middles() const { return {typical(by_brightness), typical(by_place)}; }
};

PartDepths joined(const PartDepths& one, const PartDepths& more) {
  PartDepths both = one;
  for (std::size_t k = 0; k < picture_parts; ++k) {
    if (!more[k]) continue;
    if (!one[k]) {
      both[k] = more[k];
      continue;
    }
    const double weight = 1.0 / one[k]->variance + 1.0 / more[k]->variance;
    both[k] = {(one[k]->depth / one[k]->variance + more[k]->depth / more[k]->variance) / weight,
               1.0 / weight};
  }
  return both;
}

CurveDepths joined(const CurveDepths& one, const CurveDepths& more) {
  return {joined(one.by_brightness, more.by_brightness), joined(one.by_place, more.by_place)};
}

}  // namespace

CurveEvidence curve_evidence(const rows::Cells& cells, const std::vector<float>& scene,
                             const std::vector<double>& gain, const waves::Wave& wave) {
  const Redecoder redecoder(cells.transfer);
  const clips::Plane pattern = waves::pattern_of({wave}, cells.frames(), cells.rows, cells.scale);
  const std::size_t step = std::max<std::size_t>(cells.rows / enough_rows, 1);
  GatheredDepths assumed;
  std::array<GatheredDepths, known_curves.size()> redecoded;
  for (std::size_t r = step / 2; r < cells.rows; r += step) {
    for (std::size_t s = 0; s < cells.strips; ++s) {
      const double signal = redecoder.signal_of(static_cast<double>(scene[r * cells.strips + s]));
      if (std::isnan(signal) || signal < darkest_signal || signal >= 1.0) continue;
      const auto depths = depths_of_cell(cells, r, s, gain, pattern, redecoder);
      if (!depths) continue;
      const auto brightness = static_cast<std::size_t>(signal * picture_parts);
      const std::size_t place =
          places_across * (places_down * r / cells.rows) + places_across * s / cells.strips;
      assumed.add(brightness, place, depths->assumed.depth());
      for (std::size_t c = 0; c < known_curves.size(); ++c) {
        redecoded[c].add(brightness, place, depths->curve[c].depth());
      }
    }
  }
  CurveEvidence evidence;
  evidence.assumed = assumed.middles();
  for (std::size_t c = 0; c < known_curves.size(); ++c) evidence.curve[c] = redecoded[c].middles();
  return evidence;
}

CurveEvidence joined(CurveEvidence one, const CurveEvidence& more) {
  one.assumed = joined(one.assumed, more.assumed);
  for (std::size_t c = 0; c < known_curves.size(); ++c) {
    one.curve[c] = joined(one.curve[c], more.curve[c]);
  }
  return one;
}

}  // namespace lampbeat::footage::stretches
