#include "footage/stretches/lamp_waves.hpp"

#include <algorithm>
#include <cmath>

#include "footage/stretches/disagreement.hpp"
#include "footage/stretches/lamp_limits.hpp"
#include "footage/stretches/turns.hpp"
#include "footage/stretches/unexplained.hpp"

namespace lampbeat::footage::stretches {

namespace {

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

}  // namespace

StretchTraits traits_of(const rows::Cells& cells, const Separation& separation) {
  const std::vector<waves::Wave> waves = without_faint(separation.waves, separation.divided.unrest);
  StretchTraits traits;
  traits.beside.rows = unexplained_rows(residual(separation.divided.target, waves));
  const clips::Plane pattern = waves::pattern_of(waves, cells.frames(), cells.rows, cells.scale);
  const Parts parts{cells, separation.scene, separation.divided.gain, pattern};
  traits.beside.cells_uneven = unexplained_cells(parts, {});
  traits.beside.cells = std::min(unexplained_cells(parts, waves), traits.beside.cells_uneven);
  for (const waves::Wave& wave : waves) {
    traits.waves.push_back({wave, slowest_turns(wave, cells.frames()), disagreement(parts, wave)});
  }
  return traits;
}

bool is_exposure_drift(const WaveTraits& traits) {
  return traits.wave.bands < std::max(3.0 * traits.wave.bands_sd, whole_frames) &&
         traits.turns < quick_pulse;
}

bool is_of_a_lamp(const WaveTraits& traits, const Beside& beside) {
  const double amplitude = std::abs(traits.wave.strongest().amplitude);
  const bool slow = traits.turns < few_turns;
  if (beside.rows > (slow ? most_unexplained_slow : most_unexplained) * amplitude) return false;
  if (traits.wave.bands < enough_bands && beside.cells_uneven > most_uneven * amplitude) {
    return false;
  }
  // People in the shot disturb single strips; they leave the rows together alone.
  const bool undisturbed = beside.rows <= little_unexplained * amplitude;
  if (!undisturbed && beside.cells > still_view * amplitude) {
    return !slow && traits.disagreement <= most_of_moving;
  }
  return traits.disagreement <= (undisturbed ? 2.0 : 1.0) * most_disagreement;
}

LampWaves lamp_waves(const rows::Cells& cells, const Separation& separation) {
  const StretchTraits traits = traits_of(cells, separation);
  LampWaves found{{}, traits.beside.rows, 0.0};
  for (const WaveTraits& t : traits.waves) {
    if (is_exposure_drift(t)) continue;
    if (is_of_a_lamp(t, traits.beside)) {
      found.waves.push_back(t.wave);
    } else {
      found.scenery = std::max(found.scenery, std::abs(t.wave.strongest().amplitude));
    }
  }
  return found;
}

}  // namespace lampbeat::footage::stretches
