#include "signal/left_over/noise_model.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace lampbeat::signal::left_over {
namespace {

/// How much more than its model the other noise may be. Slopes are fitted in steps of 0.1: half a
/// step off is a factor of 1.4 over the three decades that 1/f noise is told over, and the fit's
/// own level as uncertain as the white one's, 1.25. Of the dark recording and of rolled noise two
/// levels are that uncertain (each recording's; before and beyond the corner), 1.25² = 1.56. A
/// corner lies within two steps of those tried (1.08² = 1.17).
constexpr double pink_play = 1.7;
constexpr double dark_play = 1.5;
constexpr double rolled_play = 1.5;
constexpr double corner_play = 1.2;

/// The squarings that std::pow does not know it could do with.
double whole_power(double x, int exponent) {
  double power = 1.0;
  for (; exponent > 0; exponent /= 2, x *= x) {
    if (exponent % 2 == 1) power *= x;
  }
  return power;
}

}  // namespace

double RolledNoise::at(double hz) const {
  return density / (1.0 + whole_power(hz * hz / (corner_hz * corner_hz), order));
}

double RolledNoise::power() const {
  // The integral of 1/(1 + x^2n) over all x > 0.
  const double part = std::numbers::pi / (2.0 * order);
  return density * corner_hz * part / std::sin(part);
}

double NoiseModel::dark_density(double hz) const {
  if (dark.empty()) return 0.0;
  const auto above = std::find_if(dark.begin(), dark.end(),
                                  [&](const spectrum::Band& band) { return band.to_hz > hz; });
  return above == dark.end() ? dark.back().density : above->density;
}

double NoiseModel::pink_density(double hz) const { return pink / std::pow(hz, slope); }

double NoiseModel::most(double hz) const {
  return white_play * white + pink_play * pink_density(hz) + dark_play * dark_density(hz) +
         rolled_play * rolled.at(hz / corner_play);
}

double NoiseModel::power(double from_hz, double to_hz) const {
  double power = white * (to_hz - from_hz) + rolled.power();
  for (const spectrum::Band& band : dark) {
    power +=
        band.density * std::max(0.0, std::min(band.to_hz, to_hz) - std::max(band.from_hz, from_hz));
  }
  if (!(pink > 0.0)) return power;
  const double rest = 1.0 - slope;
  return power + pink * (std::abs(rest) < 1e-6
                             ? std::log(to_hz / from_hz)
                             : (std::pow(to_hz, rest) - std::pow(from_hz, rest)) / rest);
}

}  // namespace lampbeat::signal::left_over
