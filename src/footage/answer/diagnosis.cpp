#include "footage/answer/diagnosis.hpp"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <cmath>
#include <numbers>

#include "arithmetic/alias.hpp"
#include "arithmetic/phase.hpp"
#include "footage/answer/figures.hpp"
#include "footage/waves/contrasts.hpp"
#include "footage/waves/frequencies.hpp"
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
constexpr double instant_s = 1e-6;

// A lamp's own harmonics beyond those that were fitted with it.
constexpr int most_orders = 60;
constexpr double as_good_as_alike = 2.5;  // of a cycle over the clip
constexpr double bands_alike = 0.3;

double distance(double roll, double hz, double fps) {
  return arithmetic::folded_hz(roll - hz, fps);
}

double contrast_sd(const Wave& wave) {
  double sum = 0.0;
  for (const Harmonic& h : wave.harmonics) sum += h.sd * h.sd;
  return std::sqrt(sum);
}

/// The rhythm of this light that comes closest to the wave's roll, of those that matter.
double closest_rhythm_hz(const std::vector<RemainingRhythm>& remaining, double roll_hz,
                         double fps) {
  double closest = 1e9;
  double hz = 0.0;
  for (const RemainingRhythm& rhythm : remaining) {
    if (rhythm.amplitude < 0.2 * remaining.front().amplitude) continue;
    const double off = distance(roll_hz, rhythm.hz, fps);
    if (off >= closest) continue;
    closest = off;
    hz = rhythm.hz;
  }
  return hz;
}

struct Filmed {
  FrameRate fps;
  std::optional<double> exposure_s;
  std::optional<double> readout_s;
  int rows = 1080;
};

/// The deepest bands this light can make: at the shutter that is known, or at an instant, which
/// leaves everything, over a whole cycle at least.
double deepest_percent(const Light& light, double hz, const Wave& wave, const Filmed& filmed) {
  const LightShare alone[] = {{light, 1.0}};
  const double seen_s = filmed.readout_s.value_or(wave.bands / hz);
  const Shot shot = filmed.exposure_s
                        ? Shot{filmed.fps, *filmed.exposure_s, seen_s, filmed.rows}
                        : Shot{filmed.fps, instant_s, std::max(seen_s, 1.2 / hz), filmed.rows};
  return 100.0 * band_contrast(alone, shot);
}

/// What speaks against a light having made a wave; empty when nothing does.
std::string objection(const Suspect& suspect, const Wave& wave, const Filmed& filmed) {
  const double fps = filmed.fps.per_s();
  const double roll_hz = wave.roll * fps;
  const double allowed = std::hypot(other_day * suspect.hz, 3.0 * wave.roll_sd * fps) + 0.05;
  if (distance(roll_hz, suspect.hz, fps) > allowed) {
    return fmt::format("its {:.5g} Hz would roll at {:+.2f} Hz, the clip shows {:+.2f} Hz",
                       suspect.hz, suspect.predicted_roll_hz, roll_hz);
  }
  const double bands = suspect.hz * filmed.readout_s.value_or(0.0);
  if (bands > 0.0 &&
      std::abs(bands - wave.bands) > std::max(0.07 * wave.bands, 3.0 * wave.bands_sd)) {
    return fmt::format("its {:.5g} Hz would make {:.2f} bands, the clip shows {:.2f}", suspect.hz,
                       bands, wave.bands);
  }
  const double seen = 100.0 * band_contrast({wave});
  if (has_bands(wave) && seen > deeper_than_possible * *suspect.predicted_band_percent) {
    return fmt::format("too steady: {:.2g} % bands at {}, the clip shows {:.2g} %",
                       *suspect.predicted_band_percent,
                       filmed.exposure_s ? "this shutter" : "most, at any shutter", seen);
  }
  return "";
}

Suspect against_wave(const Light& light, const std::vector<RemainingRhythm>& remaining,
                     const Wave& wave, const Filmed& filmed) {
  const double fps = filmed.fps.per_s();
  Suspect suspect;
  suspect.name = light.name;
  suspect.hz = closest_rhythm_hz(remaining, wave.roll * fps, fps);
  suspect.predicted_roll_hz = alias_hz(suspect.hz, filmed.fps);
  suspect.predicted_band_percent = deepest_percent(light, suspect.hz, wave, filmed);
  suspect.why = objection(suspect, wave, filmed);
  suspect.explains = suspect.why.empty();
  return suspect;
}

Suspect judged(const Light& light, const std::vector<Wave>& waves, const Filmed& filmed,
               std::vector<SeenWave>& seen) {
  const LightShare alone[] = {{light, 1.0}};
  const auto remaining = remaining_rhythms(alone, filmed.exposure_s.value_or(instant_s));
  Suspect suspect;
  suspect.name = light.name;
  if (remaining.empty()) {
    suspect.why = filmed.exposure_s ? "leaves no rhythm at this shutter" : "has no rhythm";
    return suspect;
  }
  for (std::size_t w = 0; w < waves.size(); ++w) {
    Suspect against = against_wave(light, remaining, waves[w], filmed);
    if (!against.explains) {
      if (w == 0) suspect = std::move(against);
      continue;
    }
    seen[w].suspects.push_back(light.name);
    if (suspect.explains) continue;
    against.why = fmt::format("its {:.5g} Hz rolls and bands as {} does", against.hz,
                              waves.size() == 1 ? "the clip"
                              : w == 0          ? "the deepest pattern"
                                                : "a fainter pattern");
    suspect = std::move(against);
  }
  return suspect;
}

/// Whether a wave is another one's harmonic, its picture turned round or not, folded by the rows
/// where it is finer than they are.
bool is_harmonic_of(const Wave& base, const Wave& wave, double frames, double rows) {
  for (int order = 2; order <= most_orders; ++order) {
    for (const double side : {1.0, -1.0}) {
      const double off = arithmetic::wrapped_turns(side * wave.roll - order * base.roll);
      const double bands_off =
          std::abs(std::remainder(side * wave.bands - order * base.bands, rows));
      if (std::abs(off) * frames < as_good_as_alike + 3.0 * order * base.roll_sd * frames &&
          bands_off < bands_alike + 3.0 * (order * base.bands_sd + wave.bands_sd)) {
        return true;
      }
    }
  }
  return false;
}

}  // namespace

std::vector<Wave> one_for_each_lamp(const std::vector<Wave>& waves, double frames, double rows) {
  std::vector<Wave> lamps;
  for (const Wave& wave : waves) {
    const bool known = std::any_of(lamps.begin(), lamps.end(), [&](const Wave& lamp) {
      return is_harmonic_of(lamp, wave, frames, rows);
    });
    if (!known) lamps.push_back(wave);
  }
  return lamps;
}

void judge_waves(const std::vector<Wave>& waves, const FootageSettings& settings,
                 FootageResult& result) {
  const Filmed filmed{result.fps, settings.exposure_s,
                      settings.readout_s ? settings.readout_s : result.readout_s, result.rows};
  const double fps = filmed.fps.per_s();
  for (std::size_t w = 0; w < waves.size(); ++w) {
    const Wave& wave = waves[w];
    SeenWave seen{100.0 * band_contrast({wave}),
                  100.0 * contrast_sd(wave),
                  wave.bands,
                  wave.roll * fps,
                  {},
                  {}};
    seen.lights = w == 0 ? result.lights : light_candidates(wave, fps, filmed.readout_s);
    result.waves.push_back(std::move(seen));
  }
  for (const Light& light : settings.suspects) {
    result.suspects.push_back(judged(light, waves, filmed, result.waves));
  }
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
                               arithmetic::wrapped_rad(turned), std::nullopt};
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
             "The shutter leaves less than a twentieth of what the light does at {:.5g} Hz, so the "
             "clip hides it; film once more at a shorter shutter to see it.",
             fmt::join(hidden, ", "))});
  }
  const double gain = std::abs(exposure_gain(first_hz, exposure_s));
  light.noise_percent = 100.0 * smallest_seen / std::max(gain, hidden_below);
  std::sort(light.components.begin(), light.components.end(),
            [](const auto& a, const auto& b) { return a.amplitude > b.amplitude; });
  return light;
}

}  // namespace lampbeat::footage
