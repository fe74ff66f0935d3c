#pragma once

#include <vector>

#include "footage/rows/cells.hpp"
#include "footage/stretches/separation.hpp"
#include "footage/waves/wave.hpp"

namespace lampbeat::footage::stretches {

/// What of a stretch's waves a lamp did.
struct LampWaves {
  std::vector<waves::Wave> waves;
  double unexplained = 0.0;  ///< what the rows did together beside all waves
  double scenery = 0.0;      ///< amplitude of the strongest wave that was none of a lamp
};

/// Leaves out fits to noise, the exposure automatic's doing, and structure of the scene carried
/// past by a moving camera.
LampWaves lamp_waves(const rows::Cells& cells, const Separation& separation);

/// What cells and rows do beside all waves, relative to the mean.
struct Beside {
  double rows = 0.0;          ///< what rows do together
  double cells = 0.0;         ///< what typical cells do, other light taken into account
  double cells_uneven = 0.0;  ///< the same, other light not taken into account
};

/// A wave strong enough to be worth a word, and what it is judged by (limits: lamp_limits.hpp).
struct WaveTraits {
  waves::Wave wave;
  double turns = 0.0;         ///< that its slowest harmonic makes in the stretch
  double disagreement = 0.0;  ///< of strips and parts of the stretch, over the wave's amplitude
};

struct StretchTraits {
  Beside beside;
  std::vector<WaveTraits> waves;
};
StretchTraits traits_of(const rows::Cells& cells, const Separation& separation);

/// Slow swelling of whole frames.
bool is_exposure_drift(const WaveTraits& traits);

/// Whether a wave is what a lamp does: the rows do little else, the columns share it, and the
/// scene behind it stands still. Where the camera moves, a slow wave may be the motion itself,
/// and a quick one must be the same in all columns, whatever they hold.
bool is_of_a_lamp(const WaveTraits& traits, const Beside& beside);

}  // namespace lampbeat::footage::stretches
