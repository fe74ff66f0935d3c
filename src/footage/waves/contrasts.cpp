#include "footage/waves/contrasts.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

namespace lampbeat::footage::waves {

namespace {

constexpr double turn = 2.0 * std::numbers::pi;
constexpr std::size_t steps = 720;  // of one cycle

struct Extremes {
  double highest = 0.0;
  double lowest = 0.0;
  double swing() const { return highest - lowest; }
};

double contrast_of(const std::vector<Extremes>& waves) {
  Extremes sum;
  for (const Extremes& e : waves) {
    sum.highest += e.highest;
    sum.lowest += e.lowest;
  }
  // No light is less than none: a truncated series may undershoot darkness.
  const double dark = std::max(1.0 + sum.lowest, 0.0);
  return (1.0 + sum.highest - dark) / (1.0 + sum.highest + dark);
}

/// One cycle of the wave's pattern; `amplitude` chooses that of the rows or of whole frames.
template <typename Amplitude>
std::vector<double> cycle_of(const Wave& wave, Amplitude amplitude) {
  std::vector<double> cycle(steps, 0.0);
  for (const Harmonic& h : wave.harmonics) {
    for (std::size_t i = 0; i < steps; ++i) {
      const double angle = turn * h.order * static_cast<double>(i) / static_cast<double>(steps);
      cycle[i] += (amplitude(h) * std::polar(1.0, angle)).real();
    }
  }
  return cycle;
}

/// The frame sees `bands` cycles: all of it, or the stretch of it that swings most.
Extremes worst_view(const std::vector<double>& cycle, double bands) {
  const auto view = std::min(
      steps, static_cast<std::size_t>(std::lround(bands * static_cast<double>(steps))) + 1);
  Extremes worst;
  for (std::size_t start = 0; start < (view == steps ? 1 : steps); ++start) {
    Extremes here{cycle[start], cycle[start]};
    for (std::size_t i = 1; i < view; ++i) {
      const double v = cycle[(start + i) % steps];
      here.highest = std::max(here.highest, v);
      here.lowest = std::min(here.lowest, v);
    }
    if (here.swing() > worst.swing()) worst = here;
  }
  return worst;
}

/// Frames sample the cycle `roll` apart.
Extremes worst_frames(const std::vector<double>& cycle, double roll, std::size_t frames) {
  Extremes worst;
  for (std::size_t start = 0; start < steps; start += 6) {
    Extremes here{-1e9, 1e9};
    for (std::size_t n = 0; n < frames; ++n) {
      double at =
          static_cast<double>(start) / static_cast<double>(steps) + roll * static_cast<double>(n);
      at -= std::floor(at);
      const auto i = static_cast<std::size_t>(at * static_cast<double>(steps)) % steps;
      here.highest = std::max(here.highest, cycle[i]);
      here.lowest = std::min(here.lowest, cycle[i]);
    }
    if (here.swing() > worst.swing()) worst = here;
  }
  return worst;
}

}  // namespace

double band_contrast(const std::vector<Wave>& waves) {
  std::vector<Extremes> seen;
  for (const Wave& wave : waves) {
    seen.push_back(
        worst_view(cycle_of(wave, [](const Harmonic& h) { return h.amplitude; }), wave.bands));
  }
  return contrast_of(seen);
}

double pulse_contrast(const std::vector<Wave>& waves, double fps) {
  std::vector<Extremes> seen;
  for (const Wave& wave : waves) {
    if (wave.roll == 0.0) continue;  // every frame like the one before
    const double beat_s = 1.0 / std::max(std::abs(wave.roll) * fps, 1e-9);
    const double watched_s = std::clamp(1.2 * beat_s, 1.0, 60.0);
    const auto frames = static_cast<std::size_t>(std::min(std::ceil(watched_s * fps), 20000.0));
    seen.push_back(worst_frames(cycle_of(wave, [](const Harmonic& h) { return h.frame_amplitude; }),
                                wave.roll, frames));
  }
  return contrast_of(seen);
}

}  // namespace lampbeat::footage::waves
