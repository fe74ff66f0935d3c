#include "footage/stretches/lamp_waves.hpp"

#include <algorithm>
#include <cmath>

#include "footage/stretches/disagreement.hpp"
#include "footage/stretches/turns.hpp"
#include "footage/stretches/unexplained.hpp"

namespace lampbeat::footage::stretches {

namespace {

constexpr double least_of_strongest = 0.04;

// Lamps in clips of known content stayed below these, moving views above one of them.
constexpr double most_disagreement = 0.45;
constexpr double little_unexplained = 0.05;
// Of the wave's amplitude: what typical cells do beside it under a camera that stands (0.03 and
// less in clips of known content, 0.09 and more where it tilts), and what is still shared when it
// moves.
constexpr double still_view = 0.06;
constexpr double most_of_moving = 0.15;
// A pulse of the whole frame is as deep everywhere but for other light.
constexpr double most_uneven = 0.5;
// What turned over less often than this has left little to compare.
constexpr double few_turns = 2.0;
constexpr double most_unexplained_slow = 0.05;
// Whole frames that swell more slowly are the exposure automatic's doing.
constexpr double quick_pulse = 4.0;    // turns in the stretch
constexpr double whole_frames = 0.05;  // bands, or three uncertainties of them

/// What cells and rows do beside the waves, of which each is judged.
struct Beside {
  double rows = 0.0;          // what rows do together
  double cells = 0.0;         // what typical cells do, other light taken into account
  double cells_uneven = 0.0;  // the same, other light not taken into account
};

/// Fits to noise and to what people in the shot leave behind are not patterns of the light.
std::vector<waves::Wave> without_faint(std::vector<waves::Wave> waves, double unrest) {
  double strongest = 0.0;
  for (const waves::Wave& wave : waves) {
    strongest = std::max(strongest, std::abs(wave.harmonics.front().amplitude));
  }
  const double least =
      std::max({least_amplitude, least_of_unrest * unrest, least_of_strongest * strongest});
  std::erase_if(waves, [&](const waves::Wave& wave) {
    return std::abs(wave.harmonics.front().amplitude) < least;
  });
  return waves;
}

bool is_exposure_drift(const waves::Wave& wave, std::size_t frames) {
  return wave.bands < std::max(3.0 * wave.bands_sd, whole_frames) &&
         slowest_turns(wave, frames) < quick_pulse;
}

/// Whether a wave is what a lamp does: the rows do little else, the columns share it, and the
/// scene behind it stands still. Where the camera moves, a slow wave may be the motion itself,
/// and a quick one must be the same in all columns, whatever they hold.
bool is_of_a_lamp(const waves::Wave& wave, const Parts& parts, const Beside& beside) {
  const double amplitude = std::abs(wave.strongest().amplitude);
  const bool slow = slowest_turns(wave, parts.cells.frames()) < few_turns;
  if (beside.rows > (slow ? most_unexplained_slow : most_unexplained) * amplitude) return false;
  if (wave.bands < enough_bands && beside.cells_uneven > most_uneven * amplitude) return false;
  const double disagreed = disagreement(parts, wave);
  // People in the shot disturb single strips; they leave the rows together alone.
  const bool undisturbed = beside.rows <= little_unexplained * amplitude;
  if (!undisturbed && beside.cells > still_view * amplitude) {
    return !slow && disagreed <= most_of_moving;
  }
  return disagreed <= (undisturbed ? 2.0 : 1.0) * most_disagreement;
}

}  // namespace

LampWaves lamp_waves(const rows::Cells& cells, const Separation& separation) {
  const std::vector<waves::Wave> waves = without_faint(separation.waves, separation.divided.unrest);
  const clips::Plane pattern = waves::pattern_of(waves, cells.frames(), cells.rows, cells.scale);
  const Parts parts{cells, separation.scene, separation.divided.gain, pattern};
  Beside beside;
  beside.rows = unexplained_rows(residual(separation.divided.target, waves));
  beside.cells_uneven = unexplained_cells(parts, {});
  beside.cells = std::min(unexplained_cells(parts, waves), beside.cells_uneven);
  LampWaves found{{}, beside.rows, 0.0};
  for (const waves::Wave& wave : waves) {
    if (is_exposure_drift(wave, cells.frames())) continue;
    if (is_of_a_lamp(wave, parts, beside)) {
      found.waves.push_back(wave);
    } else {
      found.scenery = std::max(found.scenery, std::abs(wave.strongest().amplitude));
    }
  }
  return found;
}

}  // namespace lampbeat::footage::stretches
