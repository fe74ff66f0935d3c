#include "reasoning/shutters/shutters_outlook.hpp"

#include <algorithm>
#include <cmath>
#include <complex>
#include <cstdint>
#include <vector>

#include "arithmetic/phase.hpp"
#include "lampbeat/frequency_light.hpp"
#include "lampbeat/visibility.hpp"
#include "reasoning/bands/turns.hpp"
#include "reasoning/mixture/series.hpp"
#include "reasoning/shutters/shutters_steadied.hpp"

namespace lampbeat::reasoning::shutters {

namespace {

/// How far a rhythm swings above and below the mean of its own light.
struct Excursion {
  double up = 0.0;
  double down = 0.0;
  double percent_flicker(double scale) const {
    return 100.0 * scale * (up + down) / (2.0 + scale * (up - down));
  }
};

/// The dominant rhythm of the light that contributes the strongest one; no swing without any.
Excursion dominant_swing(std::span<const LightShare> lights) {
  mixture::Series dominant;
  double strongest = 0.0;
  for (const LightShare& l : lights) {
    const LightShare alone{l.light, 1.0};
    for (const mixture::Series& rhythm : mixture::series_of({&alone, 1})) {
      const double part = l.share * mixture::strongest_amplitude(rhythm.harmonics);
      if (part <= strongest) continue;
      strongest = part;
      dominant = rhythm;
    }
  }
  Excursion swing;
  int order = 1;
  for (const mixture::Harmonic& h : dominant.harmonics) order = std::max(order, h.order);
  const int points = std::min(32 * order, 8192);
  std::vector<std::complex<double>> turned;  // by so many points of a turn
  for (int i = 0; i < points; ++i) {
    turned.push_back(std::polar(1.0, arithmetic::turn * double(i) / points));
  }
  for (int i = 0; i < points; ++i) {
    double value = 0.0;
    for (const mixture::Harmonic& h : dominant.harmonics) {
      const auto at = static_cast<std::size_t>(std::int64_t{h.order} * i % points);
      value += bands::product(h.amplitude, turned[at]).real();
    }
    swing.up = std::max(swing.up, value);
    swing.down = std::max(swing.down, -value);
  }
  return swing;
}

}  // namespace

double dominant_percent_flicker(std::span<const LightShare> lights) {
  const double percent = dominant_swing(lights).percent_flicker(1.0);
  // A light with an impossible negative minimum (noise, a wrong dark level) is at most dark.
  return percent >= 0.0 ? std::min(percent, 100.0) : 100.0;
}

FrameRateOutlook outlook_for(std::span<const LightShare> lights, const judge::Judge& judge,
                             FrameRate fps) {
  const double exposure_s = 0.5 * fps.frame_s();
  FrameRateOutlook outlook;
  outlook.fps = fps;
  outlook.readout_s = judge.shot(exposure_s, fps).readout_s;
  outlook.at_180deg = judge.worst(exposure_s, fps, judge.nominal(exposure_s, fps).figures).figures;

  const Excursion swing = dominant_swing(lights);
  if (!(swing.down > 1e-6) || some_by_frequency_alone(lights)) {
    outlook.steady_share_at_180deg =
        steady_share(judge, exposure_s, fps, outlook.at_180deg.visibility);
    return outlook;
  }
  // At this scale the light is just dark at its darkest: no light ripples deeper.
  const double deepest = 1.0 / swing.down;
  const double visibility = std::max(outlook.at_180deg.visibility, 1e-9);
  const std::optional<double> passes =
      deepest_clean(judge, exposure_s, fps, clean_below / visibility, deepest);
  if (!passes) return outlook;
  outlook.steady_share_at_180deg = steady_share_for(std::min(1.0, *passes));
  outlook.needed_percent_flicker = *passes == deepest ? 100.0 : swing.percent_flicker(*passes);
  return outlook;
}

}  // namespace lampbeat::reasoning::shutters
