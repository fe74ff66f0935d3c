#include "footage/stretches/wave_search.hpp"

#include <algorithm>
#include <cmath>

#include "arithmetic/median.hpp"
#include "arithmetic/phase.hpp"
#include "footage/rows/power_map.hpp"
#include "footage/stretches/divided.hpp"
#include "footage/waves/slow_modes.hpp"
#include "footage/waves/wave_fit.hpp"
#include "signal/spectrum/fft.hpp"

namespace lampbeat::footage::stretches {

namespace {

// Enough for the mains, a dimmer and a driver in one room.
constexpr std::size_t most_waves = 3;
// What sharp edges hold beyond is found as a wave and known for a harmonic (answer/lamps).
constexpr int highest_order = 6;
// A wave's peak with the leakage beside it ends so many cycles away, in time and down the rows.
constexpr double beside_peak = 2.5;
// Of the rows: two and a half rows to a band, a little above the two that sampling asks for.
constexpr double finest_bands = 0.4;
// Harmonics that stand out of noise, which alone exceeds four standard deviations once in 3000
// (e^−8), and that can be seen beside the fundamental (a share of it).
constexpr double stands_out_sd = 4.0;
constexpr double least_harmonic = 0.01;

// Slower than a cycle in so many frames is drift, as far as so many modes follow it.
constexpr std::size_t drift_frames = 20;
constexpr std::size_t most_drift_modes = 12;
constexpr std::size_t padding = 4;
// Relative to the mean, a tenth of a percent: below that, compression alone makes frames breathe.
constexpr double least_pulse = 1e-3;
// A rhythm is most of what the frames do beside drift; chance and uneven times spread it out. A
// pulse that falls midway between two bins of the padded transform keeps more than this of itself.
constexpr double least_share_of_pulsing = 0.3;

/// Whether a peak is a harmonic of a known wave, or of its mirror image: a pattern of little more
/// than one band looks much the same running either way.
bool already_known(const waves::Wave& peak, const std::vector<waves::Wave>& waves,
                   std::size_t frames) {
  for (const waves::Wave& wave : waves) {
    for (int order = 1; order <= highest_order; ++order) {
      for (const double side : {1.0, -1.0}) {
        double off = side * peak.roll - order * wave.roll;
        off -= std::round(off);
        if (std::abs(off) * static_cast<double>(frames) < beside_peak &&
            std::abs(side * peak.bands - order * wave.bands) < beside_peak) {
          return true;
        }
      }
    }
  }
  return false;
}

/// The wave that a peak of what is left stands for.
std::optional<waves::Wave> strongest_left(const waves::FitTarget& target,
                                          const std::vector<waves::Wave>& waves) {
  const rows::PowerMap map(residual(target, waves), target.scale);
  const auto peak = map.strongest(significant_power);
  if (!peak) return std::nullopt;
  waves::Wave found;
  found.roll = peak->roll;
  found.bands = peak->bands;
  found.harmonics.push_back({1, {}, 0.0, {}});
  waves::make_customary(found);
  return found;
}

}  // namespace

std::vector<waves::Wave> with_new_waves(std::vector<waves::Wave> known,
                                        const waves::FitTarget& target) {
  std::vector<waves::Wave> waves = std::move(known);
  while (waves.size() < most_waves) {
    const std::optional<waves::Wave> found = strongest_left(target, waves);
    if (!found || already_known(*found, waves, target.rows.frames)) break;
    waves.push_back(waves.empty() ? waves::best_around(*found, target) : *found);
    waves = waves::refined(std::move(waves), target);
    const std::size_t newest = waves.size() - 1;
    waves = with_harmonics_of(newest, std::move(waves), target);
  }
  return waves;
}

std::optional<waves::Wave> find_pulse(const std::vector<double>& frame_mean) {
  std::vector<double> means = frame_mean;
  const auto frames = static_cast<double>(means.size());
  double level = 0.0;
  for (const double v : means) level += v;
  level /= frames;
  const std::size_t modes = std::min(1 + means.size() / drift_frames, most_drift_modes);
  waves::take_out_slow(means, modes);
  const std::size_t size = signal::spectrum::fast_transform_size(padding * means.size());
  std::vector<double> power;
  for (const auto& x : signal::spectrum::forward_transform(means, size))
    power.push_back(std::norm(x));
  const std::size_t first = padding * modes;  // two bins per mode, and some distance
  if (first + 8 >= power.size()) return std::nullopt;
  const auto start = power.begin() + static_cast<std::ptrdiff_t>(first);
  const auto top = std::max_element(start, power.end());
  std::vector<double> rest(start, power.end());
  const double floor = arithmetic::median(rest);
  const double amplitude = 2.0 * std::sqrt(*top) / frames / std::max(level, 1e-6);
  if (*top < significant_power * floor || amplitude < least_pulse) return std::nullopt;
  double squares = 0.0;
  for (const double v : means) squares += v * v;
  if (2.0 * *top / (frames * squares) < least_share_of_pulsing) return std::nullopt;
  waves::Wave found;
  found.roll = static_cast<double>(top - power.begin()) / static_cast<double>(size);
  found.harmonics.push_back({1, amplitude, 0.0, {}});
  return found;
}

std::vector<waves::Wave> with_harmonics_of(std::size_t which, std::vector<waves::Wave> waves,
                                           const waves::FitTarget& target) {
  std::vector<waves::Wave> rich = waves;
  std::vector<waves::Harmonic>& orders = rich[which].harmonics;
  orders.resize(1);
  for (int order = 2; order <= highest_order; ++order) {
    const double cycles = order * rich[which].roll;
    const double turns = arithmetic::off_whole(cycles) * static_cast<double>(target.rows.frames);
    const bool resolved = order * rich[which].bands <
                          finest_bands * target.scale.picture_rows / target.scale.averaged;
    // A harmonic that (nearly) stands still cannot be told from the scene.
    if (turns >= 1.0 && resolved) orders.push_back({order, {}, 0.0, {}});
  }
  waves::Wave wave = waves::with_best_amplitudes(std::move(rich), target)[which];
  const double fundamental = std::abs(wave.harmonics.front().amplitude);
  wave.harmonics.erase(std::remove_if(wave.harmonics.begin() + 1, wave.harmonics.end(),
                                      [&](const waves::Harmonic& h) {
                                        const double amplitude = std::abs(h.amplitude);
                                        return amplitude < stands_out_sd * h.sd ||
                                               amplitude < least_harmonic * fundamental;
                                      }),
                       wave.harmonics.end());
  waves[which] = std::move(wave);
  return waves::refined(std::move(waves), target);
}

}  // namespace lampbeat::footage::stretches
