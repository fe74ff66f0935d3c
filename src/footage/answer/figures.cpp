#include "footage/answer/figures.hpp"

#include <algorithm>
#include <cmath>

#include "footage/waves/contrasts.hpp"

namespace lampbeat::footage::answer {

namespace {

// As many as a plot can show.
constexpr int most_pattern_rows = 540;

BandFigures bands_of(const std::vector<waves::Wave>& waves, int picture_rows) {
  const waves::Wave& first = waves.front();
  const waves::Harmonic& strongest = first.strongest();
  BandFigures bands;
  bands.percent = 100.0 * waves::band_contrast(waves, picture_rows);
  double variance = 0.0;
  for (const waves::Wave& wave : waves) variance += wave.strongest().sd * wave.strongest().sd;
  bands.percent_sd = bands.percent * std::sqrt(variance) / std::abs(strongest.amplitude);
  bands.per_frame = strongest.order * first.bands;
  bands.per_frame_sd = strongest.order * first.bands_sd;
  return bands;
}

/// Of the harmonic that moves whole frames most.
std::optional<double> pulse_hz_of(const std::vector<waves::Wave>& waves, double fps) {
  std::optional<double> hz;
  double most = 0.0;
  for (const waves::Wave& wave : waves) {
    for (const waves::Harmonic& h : wave.harmonics) {
      if (!(std::abs(h.frame_amplitude) > most)) continue;
      most = std::abs(h.frame_amplitude);
      double beat = h.order * wave.roll;
      beat -= std::round(beat);
      hz = std::abs(beat) * fps;
    }
  }
  return hz;
}

RollFigures roll_of(const std::vector<waves::Wave>& waves, double fps) {
  const waves::Wave& first = waves.front();
  const double order = first.strongest().order;
  double roll = order * first.roll;
  roll -= std::floor(roll + 0.5);
  RollFigures figures;
  figures.hz = roll * fps;
  figures.hz_sd = order * first.roll_sd * fps;
  figures.pulse_percent = 100.0 * waves::pulse_contrast(waves, fps);
  if (figures.pulse_percent > 0.0) figures.pulse_hz = pulse_hz_of(waves, fps);
  return figures;
}

}  // namespace

bool has_bands(const waves::Wave& wave) { return wave.bands > 3.0 * wave.bands_sd; }

Directed directed(std::vector<waves::Wave> waves, bool light_is_known) {
  if (has_bands(waves.front())) return {std::move(waves), {}};
  for (waves::Wave& wave : waves) wave.roll = std::abs(wave.roll);
  if (light_is_known) return {std::move(waves), {}};
  return {std::move(waves),
          {{"roll_direction_unknown",
            "All rows pulse together, as with a global shutter, so which way the pattern would "
            "roll cannot be told; roll_hz is given without its sign."}}};
}

Figures figures_of(const std::vector<waves::Wave>& waves, int picture_rows,
                   std::optional<double> fps) {
  Figures figures{bands_of(waves, picture_rows), std::nullopt};
  if (fps) figures.roll = roll_of(waves, *fps);
  return figures;
}

Figures deepened(Figures figures, double times) {
  figures.bands.percent = std::min(100.0, figures.bands.percent * times);
  if (figures.roll) {
    figures.roll->pulse_percent = std::min(100.0, figures.roll->pulse_percent * times);
  }
  return figures;
}

std::vector<double> row_pattern_of(const std::vector<waves::Wave>& waves, int picture_rows) {
  const int rows = std::min(picture_rows, most_pattern_rows);
  const int averaged = (picture_rows + most_pattern_rows - 1) / most_pattern_rows;
  return waves::pattern_of(waves, 1, static_cast<std::size_t>(rows), {picture_rows, averaged})
      .value;
}

}  // namespace lampbeat::footage::answer
