#include "lampbeat/banding.hpp"
#include "arithmetic/alias.hpp"

#include <cmath>

#include "lampbeat/exposure.hpp"
#include "reasoning/bands/flash_train.hpp"
#include "reasoning/bands/lines.hpp"
#include "reasoning/bands/residue.hpp"

namespace lampbeat {

std::vector<RemainingRhythm> remaining_rhythms(std::span<const LightShare> lights,
                                               double exposure_s) {
  std::vector<RemainingRhythm> left;
  for (const LightShare& l : reasoning::mixture::with_normal_shares(lights)) {
    for (const LightComponent& c : l.light.components) {
      const double amplitude = l.share * c.amplitude * std::abs(exposure_gain(c.hz, exposure_s));
      if (amplitude < negligible_modulation) continue;
      reasoning::bands::add_line(left, c.hz, amplitude);
    }
  }
  reasoning::bands::put_strongest_first(left);
  return left;
}

double alias_hz(double hz, FrameRate fps) {
  const double alias =
      arithmetic::alias_hz(hz, arithmetic::RationalRate{static_cast<double>(fps.numerator),
                                                        static_cast<double>(fps.denominator)});
  // Rounding of the frequency itself is not a beat.
  return std::abs(alias) < 1e-12 * hz ? 0.0 : alias;
}

double bands_down_the_picture(double hz, const Shot& shot) {
  // cycles from row to row, folded to the nearest whole number of them
  const double cycles = hz * shot.readout_s / shot.rows;
  const double from_row_to_row = cycles - std::nearbyint(cycles);
  return from_row_to_row * shot.rows;
}

double band_contrast(std::span<const LightShare> lights, const Shot& shot) {
  const auto rhythms =
      reasoning::mixture::series_of(reasoning::mixture::with_normal_shares(lights));
  return reasoning::bands::contrast_in_frame(
      reasoning::bands::after_exposure(rhythms, shot.exposure_s), shot,
      reasoning::bands::Effort::full);
}

double pulse_contrast(std::span<const LightShare> lights, const Shot& shot) {
  const auto rhythms =
      reasoning::mixture::series_of(reasoning::mixture::with_normal_shares(lights));
  const auto rows = reasoning::bands::after_exposure(rhythms, shot.exposure_s);
  return reasoning::bands::contrast_in_clip(rows, reasoning::bands::after_frame_mean(rows, shot),
                                            shot, reasoning::bands::Effort::full);
}

}  // namespace lampbeat
