#include "footage/stretches/divided.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "arithmetic/median.hpp"
#include "footage/rows/power_map.hpp"
#include "footage/rows/ratios.hpp"
#include "footage/stretches/levels.hpp"
#include "footage/stretches/turns.hpp"
#include "footage/waves/slow_modes.hpp"

namespace lampbeat::footage::stretches {

namespace {

// Residuals beyond this many typical ones are pulled in: somebody fills the whole row.
constexpr double pull_in_beyond = 3.0;
// Rows of a clip without any noise still differ by this in their last digits.
constexpr double least_unrest = 1e-4;
// A slow drift and a wave of this many cycles can be told apart in the frame means.
constexpr double enough_cycles = 1.5;
// What the exposure automatic does is slower than this share of the slowest wave's speed, and never
// needs more half-cycles than so many to be followed.
constexpr double slower_than_waves = 0.4;
constexpr double most_slow_modes = 12.0;
// No light is less than none: a frame's level is at least this.
constexpr double least_level = 1e-3;
// Below the square of any rounding: keeps weights finite in clips without noise.
constexpr double least_variance = 1e-12;

/// Frame means can join the fit once a wave is known to be quick enough.
bool means_help(const std::vector<waves::Wave>& waves, std::size_t frames) {
  return !waves.empty() && waves.front().bands < enough_bands &&
         slowest_turns(waves.front(), frames) >= enough_cycles;
}

/// Modes slow enough to be exposure drift and not the waves.
std::size_t slow_modes(const std::vector<waves::Wave>& waves, std::size_t frames) {
  double slowest = 0.5;
  for (const waves::Wave& wave : waves) slowest = std::min(slowest, slowest_roll(wave));
  const double half_cycles = 2.0 * slower_than_waves * slowest * static_cast<double>(frames);
  return 1 + static_cast<std::size_t>(std::clamp(half_cycles, 0.0, most_slow_modes));
}

/// Noise as it is at the waves' own places in the map: compression noise is far from white.
double row_noise(const rows::PowerMap& map, const std::vector<waves::Wave>& waves) {
  double variance = least_variance;
  if (waves.empty()) variance = std::max(variance, std::pow(map.amplitude_at(1.0), 2));
  for (const waves::Wave& wave : waves) {
    variance = std::max(variance, map.noise_variance(wave.roll, wave.bands));
  }
  return variance;
}

/// How frame means jump beside those of the pattern. One frame mean is worth all its rows, if
/// nothing else moves the whole frame.
double frame_noise(const waves::FitTarget& target, const std::vector<double>& expected) {
  std::vector<double> jumps;
  for (std::size_t n = 1; n < target.frame_means.size(); ++n) {
    const double step = expected[n] - expected[n - 1];
    jumps.push_back(std::abs(target.frame_means[n] - target.frame_means[n - 1] - step));
  }
  const double sd = arithmetic::normal_sd * arithmetic::median(jumps) / std::numbers::sqrt2;
  return std::max(
      {sd * sd, target.row_noise_variance / static_cast<double>(target.rows.rows), least_variance});
}

}  // namespace

clips::Plane residual(const waves::FitTarget& target, const std::vector<waves::Wave>& waves) {
  clips::Plane left = waves::pattern_of(waves, target.rows.frames, target.rows.rows, target.scale);
  centre(left);
  for (std::size_t i = 0; i < left.value.size(); ++i) {
    left.value[i] = target.rows.value[i] - left.value[i];
  }
  return left;
}

Divided divided(const rows::Cells& cells, const std::vector<float>& scene,
                const std::vector<waves::Wave>& waves, clips::Plane pattern) {
  Divided d;
  clips::Plane ratio = rows::ratios(cells, scene);
  const std::vector<double> level = levels_of(ratio, pattern);
  d.unrest = unrest_of(ratio, pattern, level);
  // Before the waves are known they are themselves part of what is left.
  const double reach =
      pull_in_beyond * std::max(d.unrest, least_unrest) * (waves.empty() ? 2.0 : 1.0);
  pull_in(ratio, pattern, level, reach);
  d.frame_mean = frame_means_of(ratio);
  d.gain = levels_of(ratio, pattern);
  for (double& gain : d.gain) gain = std::max(gain, least_level);
  const std::vector<double> pattern_means = frame_means_of(pattern);
  pattern = {};  // makes room for the map

  const bool by_means = means_help(waves, ratio.frames);
  d.target.scale = cells.scale;
  if (by_means) {
    d.target.slow_modes = slow_modes(waves, ratio.frames);
    std::vector<double> quick = d.gain;
    waves::take_out_slow(quick, d.target.slow_modes);
    for (std::size_t n = 0; n < d.gain.size(); ++n) d.gain[n] -= quick[n];
    for (std::size_t n = 0; n < d.gain.size(); ++n) {
      d.target.frame_means.push_back(d.frame_mean[n] / d.gain[n]);
    }
    waves::take_out_slow(d.target.frame_means, d.target.slow_modes);
  }
  d.target.rows = std::move(ratio);
  for (std::size_t n = 0; n < d.gain.size(); ++n) {
    for (std::size_t r = 0; r < d.target.rows.rows; ++r) d.target.rows.at(n, r) /= d.gain[n];
  }
  centre(d.target.rows);

  const rows::PowerMap map(residual(d.target, waves), cells.scale);
  d.target.row_noise_variance = row_noise(map, waves);
  d.smallest_seen = map.amplitude_at(significant_power);
  if (by_means) d.target.frame_noise_variance = frame_noise(d.target, pattern_means);
  return d;
}

}  // namespace lampbeat::footage::stretches
