#include "footage/answer/lamps.hpp"

#include <algorithm>
#include <cmath>

namespace lampbeat::footage::answer {

namespace {

// A lamp's own harmonics beyond those that were fitted with it: those of a millisecond's edges on
// 100 Hz mains reach to 6 kHz.
constexpr int most_orders = 60;
// A peak with the leakage beside it ends so many cycles away, over the clip.
constexpr double alike_cycles = 2.5;
// Bands, beyond what both uncertainties allow: a third of the width of a peak, a cycle over the
// picture, by which another wave's leakage may pull it.
constexpr double alike_bands = 0.3;

/// Whether a wave is another one's harmonic, its picture turned round or not, folded by the rows
/// where it is finer than they are.
bool is_harmonic_of(const waves::Wave& base, const waves::Wave& wave, double frames, double rows) {
  for (int order = 2; order <= most_orders; ++order) {
    for (const double side : {1.0, -1.0}) {
      double off = side * wave.roll - order * base.roll;
      off -= std::round(off);
      const double bands_off =
          std::abs(std::remainder(side * wave.bands - order * base.bands, rows));
      if (std::abs(off) * frames < alike_cycles + 3.0 * order * base.roll_sd * frames &&
          bands_off < alike_bands + 3.0 * (order * base.bands_sd + wave.bands_sd)) {
        return true;
      }
    }
  }
  return false;
}

}  // namespace

std::vector<waves::Wave> one_for_each_lamp(const std::vector<waves::Wave>& waves, double frames,
                                           double rows) {
  std::vector<waves::Wave> lamps;
  for (const waves::Wave& wave : waves) {
    const bool known = std::any_of(lamps.begin(), lamps.end(), [&](const waves::Wave& lamp) {
      return is_harmonic_of(lamp, wave, frames, rows);
    });
    if (!known) lamps.push_back(wave);
  }
  return lamps;
}

}  // namespace lampbeat::footage::answer
