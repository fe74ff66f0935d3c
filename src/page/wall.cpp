#include "page/wall.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "lampbeat/clip.hpp"

namespace lampbeat::page {
namespace {

constexpr std::size_t rows_shown = 270;

/// What a row of the frame `frame` after the least favourable one records.
double row_light(const Prediction& p, double row, double frame) {
  const double t_s =
      (row - p.frame.bright_row) * p.shot.readout_s / p.shot.rows + frame * p.shot.fps.frame_s();
  double light = 1.0;
  for (const LightComponent& c : p.frame.components) {
    light += c.amplitude * std::cos(2.0 * std::numbers::pi * c.hz * t_s + c.phase_rad);
  }
  return std::max(0.0, light);
}

int grey_of(double light) {
  constexpr double wall = 0.4;  // of white: bands of ± 100 % still fit
  constexpr double white = 255.0;
  return static_cast<int>(
      std::lround(white * encode({Transfer::srgb}, std::clamp(wall * light, 0.0, 1.0))));
}

/// Pairs of opposing changes of brightness, of a step of grey or more, that one row goes through.
int flashes_of(const std::vector<std::vector<int>>& frames, std::size_t row) {
  int turns = 0;
  int direction = 0;
  int extreme = frames.front()[row];
  for (const std::vector<int>& frame : frames) {
    const int step = frame[row] - extreme;
    const bool on = step * direction > 0;
    if (on) extreme = frame[row];
    if (on || std::abs(step) < 2) continue;
    if (direction != 0) ++turns;
    direction = step > 0 ? 1 : -1;
    extreme = frame[row];
  }
  return (turns + 1) / 2;
}

}  // namespace

std::vector<int> greys_of(const std::vector<double>& rows) {
  std::vector<int> greys;
  for (std::size_t y = 0; y < rows_shown; ++y) {
    greys.push_back(grey_of(rows[(2 * y + 1) * rows.size() / (2 * rows_shown)]));
  }
  return greys;
}

MovingWall moving_wall(const Prediction& p) {
  constexpr std::size_t most_frames = 120;
  MovingWall wall;
  for (std::size_t n = 0; n < most_frames; ++n) {
    std::vector<double> rows;
    for (std::size_t y = 0; y < rows_shown; ++y) {
      const double row = (static_cast<double>(y) + 0.5) * p.shot.rows / rows_shown;
      rows.push_back(row_light(p, row, static_cast<double>(n)));
    }
    wall.frames.push_back(greys_of(rows));
  }
  int flashes = 0;
  for (std::size_t y = 0; y < rows_shown; y += 10) {
    flashes = std::max(flashes, flashes_of(wall.frames, y));
  }
  constexpr double most_flashes_per_s = 2.5;  // below three, with room for a browser's uneven clock
  constexpr double fastest_per_s = 30.0;  // a screen's, and no more than a phone draws with ease
  const double filmed_per_s = p.shot.fps.per_s();
  const double flashes_per_frame = static_cast<double>(flashes) / most_frames;
  wall.shown_per_s = std::min(filmed_per_s, fastest_per_s);
  if (flashes > 0) {
    wall.shown_per_s = std::min(wall.shown_per_s, most_flashes_per_s / flashes_per_frame);
  }
  wall.slowed = filmed_per_s / wall.shown_per_s;
  return wall;
}

}  // namespace lampbeat::page
