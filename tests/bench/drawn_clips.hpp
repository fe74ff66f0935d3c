#pragma once

#include <array>
#include <cmath>
#include <cstdint>
#include <memory>
#include <numbers>
#include <vector>

#include "bench/block_coder.hpp"
#include "footage/rows/cells.hpp"
#include "support/clip_renderer.hpp"
#include "support/draws.hpp"

// Clips of drawn content for the benches of footage. No test uses them.

namespace lampbeat::test {

/// A clip and how it was coded.
struct DrawnClip {
  FilmedScene scene;
  double block_step = 0.0;  ///< of the transform's figures, in code values; 0: not coded
};

inline DrawnClip any_clip(Random& random) {
  constexpr std::array<FrameRate, 7> rates{
      {{24000, 1001}, {24, 1}, {25, 1}, {30000, 1001}, {30, 1}, {48, 1}, {60, 1}}};
  DrawnClip clip;
  FilmedScene& s = clip.scene;
  s.width = 8 * static_cast<int>(between(random, 10.0, 18.0));
  s.height = 8 * static_cast<int>(between(random, 13.0, 24.0));
  s.fps = rates[static_cast<std::size_t>(between(random, 0.0, 7.0))];
  s.seconds = between(random, 1.2, 4.5);
  s.readout_s = between(random, 0.1, 0.98) * s.fps.frame_s();
  s.exposure_s = std::min(logarithmic(random, 1.0 / 4000.0, 1.0 / 60.0), 0.98 * s.fps.frame_s());
  s.noise = logarithmic(random, 0.002, 0.05);
  s.level = between(random, 0.1, 0.4);
  s.seed = static_cast<unsigned>(random());
  s.start_frame = static_cast<std::uint64_t>(between(random, 0.0, 3000.0));
  s.furnished = often(random, 0.5);
  s.sparse = often(random, 0.3);
  if (often(random, 0.5)) s.texture = between(random, 0.0, 0.12);
  if (often(random, 0.5)) s.gradient = between(random, 0.0, 0.6);
  if (often(random, 0.5)) s.vignette = between(random, 0.0, 0.4);
  if (often(random, 0.4)) clip.block_step = logarithmic(random, 2.0, 16.0);
  return clip;
}

/// Mains ripple, or the rhythm of a dimmer.
inline void add_lamp(FilmedScene& scene, Random& random, double hz) {
  const double depth = logarithmic(random, 0.01, 0.5);
  scene.light.components.push_back({hz, depth, between(random, -3.0, 3.0), std::nullopt});
  if (often(random, 0.5)) {
    scene.light.components.push_back(
        {2.0 * hz, between(random, 0.0, 0.3) * depth, between(random, -3.0, 3.0), std::nullopt});
  }
}
inline double mains_hz(Random& random) {
  return (often(random, 0.5) ? 100.0 : 120.0) + between(random, -0.2, 0.2);
}

/// What goes on before a camera that stands, beside the lamp.
inline void add_bustle(FilmedScene& scene, Random& random) {
  scene.foreground = often(random, 0.5);
  if (often(random, 0.3)) {
    scene.exposure_drift = between(random, 0.0, 0.2);
    scene.drift_hz = logarithmic(random, 0.1, 0.6);
  }
  if (often(random, 0.3)) scene.daylight = between(random, 0.05, 1.0);
  scene.level /= 1.0 + scene.daylight;
}

/// A hand: swaying at many speeds, the slower the farther, and drifting.
inline std::function<std::array<double, 2>(double)> hand_held(Random& random) {
  struct Sway {
    double hz = 0.0;
    std::array<double, 2> reach{};
    std::array<double, 2> phase{};
  };
  std::vector<Sway> sways;
  const double reach = logarithmic(random, 0.002, 0.05);
  for (int i = 0; i < 8; ++i) {
    Sway s;
    s.hz = logarithmic(random, 0.15, 8.0);
    for (std::size_t k = 0; k < 2; ++k) {
      s.reach[k] = reach * between(random, 0.0, 1.0) * std::min(1.0, 1.0 / s.hz);
      s.phase[k] = between(random, 0.0, 2.0 * std::numbers::pi);
    }
    sways.push_back(s);
  }
  const std::array<double, 2> drift{between(random, -0.02, 0.02), between(random, -0.02, 0.02)};
  return [sways, drift](double seconds) {
    std::array<double, 2> at{drift[0] * seconds, drift[1] * seconds};
    for (const Sway& s : sways) {
      for (std::size_t k = 0; k < 2; ++k) {
        at[k] += s.reach[k] * std::sin(2.0 * std::numbers::pi * s.hz * seconds + s.phase[k]);
      }
    }
    return at;
  };
}

enum class Move { pan, tilt, both, zoom, hand };
inline constexpr std::array all_moves = {Move::pan, Move::tilt, Move::both, Move::zoom, Move::hand};

inline void move_camera(FilmedScene& scene, Move move, Random& random) {
  const double speed = logarithmic(random, 0.015, 0.8) * (often(random, 0.5) ? 1.0 : -1.0);
  scene.furnished = true;
  if (move == Move::pan || move == Move::both) scene.pan_per_s = speed;
  if (move == Move::tilt) scene.tilt_per_s = speed;
  if (move == Move::both) scene.tilt_per_s = speed * between(random, -1.0, 1.0);
  if (move == Move::zoom) scene.zoom_per_s = 0.4 * std::abs(speed);
  if (move == Move::hand) scene.held = hand_held(random);
}

/// The clip as the program reduces it, decoded by its own curve or another.
inline footage::rows::Cells cells_of(const DrawnClip& drawn, const TransferFunction& decoded_by) {
  static const BlockCoder coder;
  FilmedClip clip(drawn.scene);
  footage::rows::FrameReducer reducer(clip.format(), decoded_by, false);
  footage::rows::Cells cells = reducer.stretch();
  while (const auto* luma = clip.next()) {
    std::vector<std::uint16_t> coded = *luma;
    if (drawn.block_step > 0.0) {
      coder.code(coded, static_cast<std::size_t>(drawn.scene.width), drawn.block_step);
    }
    reducer.add(coded, cells);
  }
  return cells;
}
inline footage::rows::Cells cells_of(const DrawnClip& drawn) {
  return cells_of(drawn, drawn.scene.transfer);
}

}  // namespace lampbeat::test
