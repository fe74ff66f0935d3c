#include "footage/stretches/vague.hpp"

#include <algorithm>
#include <cmath>
#include <complex>

#include "arithmetic/phase.hpp"
#include "footage/waves/slow_modes.hpp"

namespace lampbeat::footage::stretches {

namespace {

// Share of the power of what whole frames do: the rest is then a third of the wave at most.
constexpr double most_of_frames = 0.75;
// Modes slower than this share of the wave are drift, and so many follow it.
constexpr double slower_than_wave = 0.4;
constexpr std::size_t most_modes = 12;

/// Share of what whole frames do, slow drift aside, that the wave's orders make.
double share_of_frames(const StretchEstimate& e, const waves::Wave& wave) {
  std::vector<double> means = e.frame_means;
  const auto frames = static_cast<double>(means.size());
  const double turns = std::abs(e.waves.front().roll) * static_cast<double>(e.frames);
  const auto modes = static_cast<std::size_t>(2.0 * slower_than_wave * turns);
  waves::take_out_slow(means, 1 + std::min(modes, most_modes));
  double all = 1e-12;
  for (const double v : means) all += v * v;
  double of_wave = 0.0;
  for (const waves::Harmonic& h : wave.harmonics) {
    std::complex<double> sum;
    for (std::size_t n = 0; n < means.size(); ++n) {
      sum += means[n] *
             std::polar(1.0, -arithmetic::turn * h.order * wave.roll * static_cast<double>(n));
    }
    of_wave += 2.0 * std::norm(sum) / frames;
  }
  return of_wave / all;
}

/// A few bands go with whole frames; if those do much else, their times may be uneven, and if the
/// rows do, anything might be.
bool is_vague(const StretchEstimate& e, const waves::Wave& wave) {
  if (wave.bands >= few_bands) return false;
  const bool alone = wave.bands >= 0.5 * few_bands || share_of_frames(e, wave) >= most_of_frames;
  return !alone || e.unexplained > out_of_step * std::abs(wave.strongest().amplitude);
}

}  // namespace

StretchEstimate without_vague(StretchEstimate e) {
  std::vector<waves::Wave> clear;
  double scenery = e.scenery;
  for (const waves::Wave& wave : e.waves) {
    if (is_vague(e, wave)) {
      scenery = std::max(scenery, std::abs(wave.strongest().amplitude));
    } else {
      clear.push_back(wave);
    }
  }
  e.waves = std::move(clear);
  e.scenery = scenery;
  e.smallest_seen = std::max(e.smallest_seen, e.scenery);
  return e;
}

}  // namespace lampbeat::footage::stretches
