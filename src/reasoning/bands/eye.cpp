#include "reasoning/bands/eye.hpp"

#include <algorithm>
#include <cmath>
#include <limits>

namespace lampbeat::reasoning::bands {
namespace {

/// Of bands: range by range of their coarseness.
double most_to_barten(const BartenModel& barten) {
  constexpr double first_cpd = 0.5;
  constexpr double ratio = 1.5;
  constexpr double last_cpd = 8.0;  // all finer ones together
  double most = barten.bound(0.0, first_cpd);
  for (double cpd = first_cpd; cpd < last_cpd; cpd *= ratio) {
    most = std::max(most, barten.bound(cpd, ratio * cpd));
  }
  return std::max(most, barten.bound(last_cpd, std::numeric_limits<double>::infinity()));
}

}  // namespace

Eye::Eye(const Viewing& viewing)
    : viewing_(viewing),
      picture_(picture_angle(viewing.distance_heights)),
      castle_(viewing.screen_cd_m2, picture_.area_deg2),
      barten_(viewing.screen_cd_m2, std::sqrt(picture_.area_deg2)),
      standing_(picture_.area_deg2),
      most_of_bands_(system_gamma *
                     std::max({castle_.bound(), most_to_barten(barten_), standing_.bound()})),
      most_of_pulsing_(system_gamma * std::max(castle_.bound(), barten_.bound(0.0, 0.0))) {}

Visibility Eye::of_bands(double contrast, double bands, double roll_hz) const {
  // Less than the coarsest pattern any model covers is judged as that one.
  const double cpd = std::max(bands / picture_.height_deg, coarsest_cycles_per_degree);
  const double hz = std::abs(roll_hz);
  const double castle = castle_.sensitivity(cpd, hz);
  const double barten = barten_.sensitivity(cpd, hz);
  const double measured = standing_.sensitivity(cpd, hz);
  const double shown = system_gamma * contrast;
  return {shown * std::max({castle, barten, measured}), shown * std::min(castle, barten)};
}

Visibility Eye::of_pulsing(double contrast, double hz) const {
  // Slower pulsing is seen against the edge of the picture, of which the full-field limit knows
  // nothing.
  constexpr double full_field_from_hz = 4.0;
  const double beat_hz = std::abs(hz);
  const double castle = castle_.sensitivity(coarsest_cycles_per_degree, beat_hz);
  const double barten = beat_hz < full_field_from_hz ? castle : barten_.sensitivity(0.0, beat_hz);
  const double shown = system_gamma * contrast;
  return {shown * std::max(castle, barten), shown * std::min(castle, barten)};
}

}  // namespace lampbeat::reasoning::bands

namespace lampbeat {

Visibility band_visibility(double contrast, double bands, double roll_hz, const Viewing& viewing) {
  return reasoning::bands::Eye(viewing).of_bands(contrast, bands, roll_hz);
}

Visibility pulse_visibility(double contrast, double hz, const Viewing& viewing) {
  return reasoning::bands::Eye(viewing).of_pulsing(contrast, hz);
}

}  // namespace lampbeat
