#include "footage/answer/recovery.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <cmath>
#include <numbers>

#include "arithmetic/phase.hpp"
#include "footage/waves/frequencies.hpp"
#include "lampbeat/exposure.hpp"
#include "words/lists.hpp"
#include "words/numbers.hpp"

namespace lampbeat::footage::answer {

namespace {

// An exposure that leaves less than this share of a component leaves too little to put back: errors
// would grow twentyfold.
constexpr double hidden_below = 0.05;
// Multiples of a rhythm looked at for what the exposure hides: beyond, lamps ripple little.
constexpr int orders_of_interest = 4;

bool is_hidden(double hz, double exposure_s) {
  return std::abs(exposure_gain(hz, exposure_s)) < hidden_below;
}

/// The frequency that bands over readout come close to, and the roll says exactly.
double hz_from_rows(const waves::Wave& wave, double fps, double readout_s) {
  const double coarse = wave.bands / readout_s;
  return wave.roll * fps + fps * std::round((coarse - wave.roll * fps) / fps);
}

Finding left_out(const waves::Wave& wave) {
  return {"second_rhythm_left_out",
          fmt::format("A second rhythm of {} % was seen, but without the camera's readout "
                      "time its frequency is unknown; it is not in this profile.",
                      words::in_digits_at_most(100.0 * std::abs(wave.strongest().amplitude), 2))};
}

Finding hidden_by_exposure(const std::vector<double>& hidden_hz) {
  std::vector<std::string> hidden;
  for (const double hz : hidden_hz) hidden.push_back(words::in_digits_at_most(hz, 5));
  return {"hidden_by_exposure",
          fmt::format(
              "The shutter leaves less than a twentieth of what the light does at {} Hz, so the "
              "clip hides it; film once more at a shorter shutter to see it.",
              words::listed(hidden))};
}

/// One wave's harmonics before the exposure averaged them.
std::vector<LightComponent> components_of(const waves::Wave& wave, double hz, double exposure_s,
                                          const std::optional<waves::MainsMatch>& mains) {
  std::vector<LightComponent> components;
  for (const waves::Harmonic& h : wave.harmonics) {
    const double gain = exposure_gain(h.order * hz, exposure_s);
    if (std::abs(gain) < hidden_below) continue;
    const double turned =
        std::arg(h.amplitude / gain) - std::numbers::pi * h.order * hz * exposure_s;
    LightComponent component{h.order * hz, std::abs(h.amplitude / gain),
                             arithmetic::wrapped_rad(turned), std::nullopt};
    if (mains) component.mains_order = h.order * mains->order;
    components.push_back(component);
  }
  return components;
}

Light light_of(const std::vector<waves::Wave>& waves, double first_hz, double fps,
               double exposure_s, std::optional<double> readout_s, double smallest_seen) {
  Light light;
  std::vector<double> hidden_hz;
  for (std::size_t w = 0; w < waves.size(); ++w) {
    const waves::Wave& wave = waves[w];
    const bool timed = readout_s && *readout_s > 0.0;
    if (w > 0 && !timed) {
      light.findings.push_back(left_out(wave));
      continue;
    }
    const double hz = w == 0 ? first_hz : hz_from_rows(wave, fps, *readout_s);
    if (w > 0 && !(hz > 0.0)) continue;
    const auto mains = waves::mains_match(hz, wave.roll_sd * fps);
    if (w == 0 && mains) light.mains_hz = hz / mains->order;
    const auto components = components_of(wave, hz, exposure_s, mains);
    light.components.insert(light.components.end(), components.begin(), components.end());
    for (int order = 1; order <= orders_of_interest; ++order) {
      if (is_hidden(order * hz, exposure_s)) hidden_hz.push_back(order * hz);
    }
  }
  if (!hidden_hz.empty()) light.findings.push_back(hidden_by_exposure(hidden_hz));
  const double gain = std::abs(exposure_gain(first_hz, exposure_s));
  light.noise_percent = 100.0 * smallest_seen / std::max(gain, hidden_below);
  std::sort(light.components.begin(), light.components.end(),
            [](const auto& a, const auto& b) { return a.amplitude > b.amplitude; });
  return light;
}

}  // namespace

Recovered recovered(const std::vector<waves::Wave>& waves, const NamedLight& named,
                    std::optional<double> fps, double exposure_s, std::optional<double> readout_s,
                    double smallest_seen, const std::string& clip) {
  if (!named.first_hz) {
    return {std::nullopt,
            {{"light_frequency_unknown",
              "The light itself was not recovered: that needs its frequency, from --light-hz or, "
              "through the rows, from --readout."}}};
  }
  if (!fps) return {};
  Light light = light_of(waves, *named.first_hz, *fps, exposure_s, readout_s, smallest_seen);
  light.name = "light in " + clip;
  light.source = "camera: " + clip;
  Findings findings = light.findings;
  return {std::move(light), std::move(findings)};
}

}  // namespace lampbeat::footage::answer
