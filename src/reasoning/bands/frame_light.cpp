#include "reasoning/bands/frame_light.hpp"

#include <algorithm>
#include <cmath>

#include "arithmetic/phase.hpp"
#include "lampbeat/banding.hpp"

namespace lampbeat {
namespace reasoning::bands {

FrameLight frame_light(std::span<const mixture::Series> rows, const SamplePair& widest,
                       const Shot& shot) {
  const bool banded = widest.contrast > 0.0;
  const std::vector<double> phase = banded ? widest.phase : darkest_phases(rows);
  FrameLight frame;
  frame.bright_row = (shot.rows - 1 - widest.lag) / 2;
  for (std::size_t i = 0; i < rows.size(); ++i) {
    for (const mixture::Harmonic& h : rows[i].harmonics) {
      frame.components.push_back(
          {h.order * rows[i].hz,
           std::abs(h.amplitude),
           std::arg(h.amplitude) + arithmetic::turn * arithmetic::begun_turn(h.order * phase[i]),
           {}});
    }
  }
  return frame;
}

}  // namespace reasoning::bands

std::vector<double> least_favourable_rows(const Prediction& prediction) {
  const Shot& shot = prediction.shot;
  Light recorded;
  recorded.components = prediction.frame.components;
  std::vector<double> rows(static_cast<std::size_t>(shot.rows));
  for (int row = 0; row < shot.rows; ++row) {
    const double after_s = (row - prediction.frame.bright_row) * (shot.readout_s / shot.rows);
    // Independent rhythms at their worst can pass darkness.
    rows[static_cast<std::size_t>(row)] = std::max(0.0, light_at(recorded, after_s));
  }
  return rows;
}

}  // namespace lampbeat
