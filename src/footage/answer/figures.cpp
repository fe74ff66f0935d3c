#include "footage/answer/figures.hpp"

#include <algorithm>
#include <cmath>

#include "arithmetic/phase.hpp"
#include "footage/waves/contrasts.hpp"

namespace lampbeat::footage {

namespace {

/// All rows pulse together: the roll's direction cannot be told.
void lose_direction(std::vector<Wave>& waves, const FootageSettings& settings,
                    FootageResult& result) {
  for (Wave& wave : waves) wave.roll = std::abs(wave.roll);
  if (settings.light_hz) return;
  result.warnings.push_back(
      {"roll_direction_unknown",
       "All rows pulse together, as with a global shutter, so which way the pattern would roll "
       "cannot be told; roll_hz is given without its sign."});
}

void add_bands(const std::vector<Wave>& waves, FootageResult& result) {
  const Wave& first = waves.front();
  const Harmonic& strongest = first.strongest();
  result.band_percent = 100.0 * band_contrast(waves);
  double variance = 0.0;
  for (const Wave& wave : waves) variance += wave.strongest().sd * wave.strongest().sd;
  result.band_percent_sd =
      *result.band_percent * std::sqrt(variance) / std::abs(strongest.amplitude);
  result.bands_per_frame = strongest.order * first.bands;
  result.bands_per_frame_sd = strongest.order * first.bands_sd;
}

void add_roll(const std::vector<Wave>& waves, double fps, FootageResult& result) {
  const Wave& first = waves.front();
  const double order = first.strongest().order;
  double roll = order * first.roll;
  roll -= std::floor(roll + 0.5);
  result.roll_hz = roll * fps;
  result.roll_hz_sd = order * first.roll_sd * fps;
}

void add_pulsing(const std::vector<Wave>& waves, double fps, FootageResult& result) {
  result.pulse_percent = 100.0 * pulse_contrast(waves, fps);
  if (!(*result.pulse_percent > 0.0)) return;
  double most = 0.0;
  for (const Wave& wave : waves) {
    for (const Harmonic& h : wave.harmonics) {
      const double beat = arithmetic::wrapped_turns(h.order * wave.roll);
      if (std::abs(h.frame_amplitude) > most) {
        most = std::abs(h.frame_amplitude);
        result.pulse_hz = std::abs(beat) * fps;
      }
    }
  }
}

}  // namespace

bool has_bands(const Wave& wave) { return wave.bands > 3.0 * wave.bands_sd; }

void add_figures(std::vector<Wave>& waves, double fps, const FootageSettings& settings,
                 FootageResult& result) {
  if (!has_bands(waves.front())) lose_direction(waves, settings, result);
  add_bands(waves, result);
  if (fps > 0.0) {
    add_roll(waves, fps, result);
    add_pulsing(waves, fps, result);
  }
  result.row_pattern = pattern_of(waves, 1, static_cast<std::size_t>(std::min(result.rows, 540)),
                                  {result.rows, (result.rows + 539) / 540})
                           .value;
}

}  // namespace lampbeat::footage
