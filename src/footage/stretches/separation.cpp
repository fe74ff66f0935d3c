#include "footage/stretches/separation.hpp"

#include <algorithm>
#include <array>
#include <cmath>

#include "footage/rows/ratios.hpp"
#include "footage/stretches/wave_search.hpp"
#include "footage/waves/wave_fit.hpp"

namespace lampbeat::footage::stretches {

namespace {

constexpr std::array rounds_of_a_stretch = {Round::discover, Round::discover, Round::choose_orders,
                                            Round::settle,   Round::settle,   Round::settle};

// A little darkness is left at the bottom of the deepest pattern, until the levels are known.
constexpr double deepest = 0.9;
// Beyond what any light makes (1, or 4/π of it for the fundamental of a square): the fit ran away.
constexpr double impossible = 1.5;
constexpr double says_nothing = 0.5;  // uncertainty over amplitude

/// Few deep bands go with the whole frame's level. Before the level knows that, it takes the
/// pattern out and makes it too deep; no light is less than none.
std::vector<waves::Wave> tamed(std::vector<waves::Wave> waves) {
  for (waves::Wave& wave : waves) {
    const double amplitude = std::abs(wave.strongest().amplitude);
    if (wave.bands > enough_bands || !(amplitude > deepest)) continue;
    for (waves::Harmonic& h : wave.harmonics) h.amplitude *= deepest / amplitude;
  }
  return waves;
}

/// A fit that ran away, or that says nothing, is no finding.
std::vector<waves::Wave> without_hopeless(std::vector<waves::Wave> waves) {
  std::erase_if(waves, [](const waves::Wave& wave) {
    const waves::Harmonic& first = wave.harmonics.front();
    const double amplitude = std::abs(first.amplitude);
    return !std::isfinite(amplitude) || !std::isfinite(wave.bands) || amplitude > impossible ||
           first.sd > says_nothing * amplitude;
  });
  return waves;
}

}  // namespace

std::span<const Round> usual_rounds() { return rounds_of_a_stretch; }

Separation separated(const rows::Cells& cells, std::span<const Round> rounds) {
  Separation s;
  s.divided.gain.assign(cells.frames(), 1.0);
  std::vector<waves::Wave> known;
  const auto pattern = [&] {
    return waves::pattern_of(known, cells.frames(), cells.rows, cells.scale);
  };
  for (const Round round : rounds) {
    s.divided.target = {};  // makes room
    s.scene = rows::scene_of(cells, pattern(), s.divided.gain);
    s.divided = divided(cells, s.scene, s.waves, pattern());
    if (round == Round::discover || (round == Round::choose_orders && s.waves.empty())) {
      s.waves = with_new_waves(std::move(s.waves), s.divided.target);
      if (s.waves.empty()) {
        if (const auto pulse = find_pulse(s.divided.frame_mean)) {
          s.waves = {*pulse};
          s.divided.target = {};
          s.divided = divided(cells, s.scene, s.waves, pattern());
        }
      }
    }
    if (round == Round::choose_orders) {
      for (std::size_t w = 0; w < s.waves.size(); ++w) {
        s.waves = with_harmonics_of(w, std::move(s.waves), s.divided.target);
      }
    }
    if (round != Round::discover && s.waves.empty()) break;
    s.waves = waves::refined(std::move(s.waves), s.divided.target);
    if (round == Round::discover) s.waves = tamed(std::move(s.waves));
    s.waves = without_hopeless(std::move(s.waves));
    known = s.waves;
  }
  return s;
}

}  // namespace lampbeat::footage::stretches
