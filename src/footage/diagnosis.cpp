#include "footage/diagnosis.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <cmath>
#include <numbers>

#include "footage/frequencies.hpp"
#include "lampbeat/banding.hpp"
#include "lampbeat/exposure.hpp"

namespace lampbeat::footage {

namespace {

// A profile was taken on another day: the mains was elsewhere within its tolerance.
constexpr double other_day = 0.005;
// Bands in a mixture are never deeper than the light alone makes them; leave room for both
// measurements' uncertainty.
constexpr double deeper_than_possible = 1.25;
constexpr double hidden_below = 0.05;

double distance(double roll, double hz, double fps) {
  const double off = roll - hz;
  return std::abs(off - fps * std::round(off / fps));
}

}  // namespace

std::vector<Suspect> judge_suspects(const std::vector<Wave>& waves, const FootageResult& result,
                                    const FootageSettings& settings) {
  std::vector<Suspect> suspects;
  const double fps = result.fps.per_s();
  const std::optional<double> readout_s =
      settings.readout_s ? settings.readout_s : result.readout_s;
  for (const Light& light : settings.suspects) {
    Suspect suspect;
    suspect.name = light.name;
    const LightShare alone[] = {{light, 1.0}};
    const auto remaining = remaining_rhythms(alone, settings.exposure_s.value_or(1e-6));
    if (remaining.empty()) {
      suspect.why = settings.exposure_s ? "leaves no rhythm at this shutter" : "has no rhythm";
      suspects.push_back(std::move(suspect));
      continue;
    }
    double closest = 1e9;
    for (const RemainingRhythm& rhythm : remaining) {
      if (rhythm.amplitude < 0.2 * remaining.front().amplitude) continue;
      const double off = distance(waves.front().roll * fps, rhythm.hz, fps);
      if (off < closest) {
        closest = off;
        suspect.hz = rhythm.hz;
      }
    }
    suspect.predicted_roll_hz = alias_hz(suspect.hz, result.fps);
    if (settings.exposure_s) {
      const Shot shot{result.fps, *settings.exposure_s,
                      readout_s.value_or(waves.front().bands / suspect.hz), result.rows};
      suspect.predicted_band_percent = 100.0 * band_contrast(alone, shot);
    }
    const double allowed =
        std::hypot(other_day * suspect.hz, 3.0 * result.roll_hz_sd.value_or(0.0)) + 0.05;
    const double seen_roll = waves.front().roll * fps;
    if (closest > allowed) {
      suspect.why = fmt::format("its {:.5g} Hz would roll at {:+.2f} Hz, the clip shows {:+.2f} Hz",
                                suspect.hz, suspect.predicted_roll_hz, seen_roll);
    } else if (readout_s && *readout_s > 0.0 &&
               std::abs(suspect.hz * *readout_s - waves.front().bands) >
                   std::max(0.07 * waves.front().bands, 3.0 * waves.front().bands_sd)) {
      suspect.why = fmt::format("its {:.5g} Hz would make {:.2f} bands, the clip shows {:.2f}",
                                suspect.hz, suspect.hz * *readout_s, waves.front().bands);
    } else if (suspect.predicted_band_percent && result.band_percent && readout_s &&
               *result.band_percent > deeper_than_possible * *suspect.predicted_band_percent) {
      suspect.why =
          fmt::format("too steady: {:.2g} % bands at this shutter, the clip shows {:.2g} %",
                      *suspect.predicted_band_percent, *result.band_percent);
    } else {
      suspect.explains = true;
      suspect.why = fmt::format("its {:.5g} Hz rolls and bands as the clip does", suspect.hz);
    }
    suspects.push_back(std::move(suspect));
  }
  return suspects;
}

Light recovered_light(const std::vector<Wave>& waves, double first_hz,
                      std::optional<double> readout_s, double fps, double exposure_s,
                      double smallest_seen) {
  Light light;
  std::vector<double> hidden;
  for (std::size_t w = 0; w < waves.size(); ++w) {
    double hz = first_hz;
    if (w > 0) {
      if (!readout_s || !(*readout_s > 0.0)) {
        light.findings.push_back(
            {"second_rhythm_left_out",
             fmt::format("A second rhythm of {:.2g} % was seen, but without the camera's readout "
                         "time its frequency is unknown; it is not in this profile.",
                         100.0 * std::abs(waves[w].strongest().amplitude))});
        continue;
      }
      const double coarse = waves[w].bands / *readout_s;
      hz = waves[w].roll * fps + fps * std::round((coarse - waves[w].roll * fps) / fps);
      if (!(hz > 0.0)) continue;
    }
    const auto mains = mains_match(hz, waves[w].roll_sd * fps);
    if (w == 0 && mains) light.mains_hz = hz / mains->order;
    for (const Harmonic& h : waves[w].harmonics) {
      const double gain = exposure_gain(h.order * hz, exposure_s);
      if (std::abs(gain) < hidden_below) continue;
      const double turned =
          std::arg(h.amplitude / gain) - std::numbers::pi * h.order * hz * exposure_s;
      LightComponent component{h.order * hz, std::abs(h.amplitude / gain),
                               std::remainder(turned, 2.0 * std::numbers::pi), std::nullopt};
      if (mains) component.mains_order = h.order * mains->order;
      light.components.push_back(component);
    }
    for (int order = 1; order <= 4; ++order) {
      if (std::abs(exposure_gain(order * hz, exposure_s)) < hidden_below) {
        hidden.push_back(order * hz);
      }
    }
  }
  if (!hidden.empty()) {
    light.findings.push_back(
        {"hidden_by_exposure",
         fmt::format(
             "The shutter spans whole cycles of {:.5g} Hz, so the clip hides what the light "
             "does there; film once more at a shorter shutter to see it.",
             fmt::join(hidden, ", "))});
  }
  const double gain = std::abs(exposure_gain(first_hz, exposure_s));
  light.noise_percent = 100.0 * smallest_seen / std::max(gain, hidden_below);
  std::sort(light.components.begin(), light.components.end(),
            [](const auto& a, const auto& b) { return a.amplitude > b.amplitude; });
  return light;
}

}  // namespace lampbeat::footage
