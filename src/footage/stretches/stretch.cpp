#include "footage/stretches/stretch.hpp"

#include <algorithm>
#include <cmath>

#include "arithmetic/phase.hpp"
#include "footage/rows/ratios.hpp"
#include "footage/stretches/lamp_limits.hpp"
#include "footage/stretches/lamp_waves.hpp"
#include "footage/stretches/separation.hpp"
#include "footage/stretches/turns.hpp"

namespace lampbeat::footage::stretches {

namespace {

/// What each wave leaves in the mean of whole frames. The model's word is better than the frame
/// means themselves, which also hold every move of the exposure automatic.
std::vector<waves::Wave> with_frame_amplitudes(std::vector<waves::Wave> waves,
                                               const rows::Cells& cells) {
  for (waves::Wave& wave : waves) {
    for (waves::Harmonic& h : wave.harmonics) {
      std::complex<double> mean;
      for (std::size_t r = 0; r < cells.rows; ++r) {
        mean += std::polar(1.0, arithmetic::turn * h.order * wave.bands * cells.scale.place(r));
      }
      h.frame_amplitude = h.amplitude * mean / static_cast<double>(cells.rows);
    }
  }
  return waves;
}

std::vector<waves::Wave> strongest_first(std::vector<waves::Wave> waves) {
  std::sort(waves.begin(), waves.end(), [](const waves::Wave& a, const waves::Wave& b) {
    return std::abs(a.strongest().amplitude) > std::abs(b.strongest().amplitude);
  });
  return waves;
}

/// The scene without what moved enough to be told from it; the rest must not be divided out.
std::vector<float> scene_without(const std::vector<waves::Wave>& waves, const rows::Cells& cells,
                                 const std::vector<double>& gain) {
  std::vector<waves::Wave> moving = waves;
  std::erase_if(moving,
                [&](const waves::Wave& wave) { return slowest_turns(wave, cells.frames()) < 1.0; });
  return rows::scene_of(cells, waves::pattern_of(moving, cells.frames(), cells.rows, cells.scale),
                        gain);
}

StretchEstimate too_short(const rows::Cells& cells) {
  StretchEstimate none;
  none.frames = cells.frames();
  const clips::Plane flat(cells.frames(), cells.rows);
  none.scene = rows::scene_of(cells, flat, std::vector<double>(cells.frames(), 1.0));
  return none;
}

}  // namespace

StretchEstimate analyse(const rows::Cells& cells) {
  if (cells.frames() < fewest_frames) return too_short(cells);
  const Separation separation = separated(cells);
  LampWaves found = lamp_waves(cells, separation);
  StretchEstimate estimate;
  estimate.frames = cells.frames();
  estimate.rounding = cells.rounding;
  estimate.unrest = separation.divided.unrest;
  estimate.unexplained = found.unexplained;
  estimate.scenery = found.scenery;
  estimate.smallest_seen = std::max({separation.divided.smallest_seen, least_amplitude,
                                     least_of_unrest * estimate.unrest, estimate.scenery,
                                     most_unexplained * estimate.unexplained});
  estimate.scene = scene_without(found.waves, cells, separation.divided.gain);
  estimate.frame_means = separation.divided.frame_mean;
  estimate.waves = strongest_first(with_frame_amplitudes(std::move(found.waves), cells));
  if (!estimate.waves.empty()) {
    estimate.curves =
        curve_evidence(cells, estimate.scene, separation.divided.gain, estimate.waves.front());
  }
  return estimate;
}

}  // namespace lampbeat::footage::stretches
