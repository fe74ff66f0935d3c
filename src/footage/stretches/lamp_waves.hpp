#pragma once

#include <vector>

#include "footage/rows/cells.hpp"
#include "footage/stretches/separation.hpp"
#include "footage/waves/wave.hpp"

namespace lampbeat::footage::stretches {

/// Waves fainter than this (of the mean; of the residual of single rows) are not worth a word:
/// rounding to code values and people walking leave such traces.
constexpr double least_amplitude = 5e-4;
constexpr double least_of_unrest = 0.3;
/// Share of a wave's amplitude that the rows may do beside a quick one.
constexpr double most_unexplained = 0.45;

/// What of a stretch's waves a lamp did.
struct LampWaves {
  std::vector<waves::Wave> waves;
  double unexplained = 0.0;  ///< what the rows did together beside all waves
  double scenery = 0.0;      ///< amplitude of the strongest wave that was none of a lamp
};

/// Leaves out fits to noise, the exposure automatic's doing, and structure of the scene carried
/// past by a moving camera.
LampWaves lamp_waves(const rows::Cells& cells, const Separation& separation);

}  // namespace lampbeat::footage::stretches
