#include "footage/answer/naming.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "footage/answer/diagnosis.hpp"
#include "footage/answer/figures.hpp"
#include "footage/waves/frequencies.hpp"

namespace lampbeat::footage {

namespace {

// EN 50160: 50 Hz mains keeps within 0.2 Hz or so nearly always; half of that as one sigma.
constexpr double stated_sd = 0.002;

void note(FootageResult& result, const char* code, std::string message) {
  result.warnings.push_back({code, std::move(message)});
}

void set_readout(FootageResult& result, const Wave& wave, double hz) {
  result.readout_s = wave.bands / hz;
  result.readout_s_sd = wave.bands_sd / hz;
}

void time_the_rows(const KnownWave& known, const Wave& wave, bool banded, double fps,
                   FootageResult& result) {
  if (banded) {
    set_readout(result, wave, known.hz);
    return;
  }
  result.roll_hz = known.hz - fps * std::floor(known.hz / fps + 0.5);
  note(result, "no_bands_to_time",
       "All rows pulse together: the shutter is global, or reads too quickly for this light to "
       "time it.");
}

std::string as_given(double hz, double sd) {
  const auto mains = mains_match(hz, sd);
  return mains ? fmt::format("{:.5g} Hz, as given: {} times {:g} Hz mains", hz, mains->order,
                             mains->mains_hz)
               : fmt::format("{:.5g} Hz, as given", hz);
}

/// Returns the frequency of the first wave when it is the light's.
std::optional<double> from_known_light(const KnownWave& known, const std::vector<Wave>& waves,
                                       double fps, double stated_hz, FootageResult& result) {
  const Wave& wave = waves[known.wave];
  const bool banded = has_bands(waves.front());
  time_the_rows(known, wave, banded, fps, result);
  if (known.upwards && banded) {
    note(result, "read_upwards",
         "The bands roll the other way round: the camera was upside down, or reads its rows from "
         "the bottom up.");
  }
  if (known.order > 1) {
    note(result, "light_is_a_multiple",
         fmt::format("The bands roll as {:.5g} Hz does, {} times the {:g} Hz given.", known.hz,
                     known.order, stated_hz));
  }
  const double sd = wave.roll_sd * fps;
  result.lights.push_back({known.hz, sd, as_given(known.hz, sd), true});
  return known.wave == 0 ? std::optional<double>(known.hz) : std::nullopt;
}

void say_unexplained(const Wave& wave, double fps, const FootageSettings& settings,
                     FootageResult& result) {
  const auto others = light_candidates(wave, fps, settings.readout_s);
  std::string which;
  for (std::size_t i = 0; i < std::min<std::size_t>(others.size(), 3); ++i) {
    which += fmt::format("{}{:.5g} Hz", i == 0 ? "" : ", ", others[i].hz);
  }
  const double expected = *settings.light_hz - fps * std::floor(*settings.light_hz / fps + 0.5);
  note(result, "light_does_not_explain_roll",
       fmt::format("A light of {:g} Hz would roll at {:+.2f} Hz at this frame rate; the bands roll "
                   "at {:+.2f} Hz{}. No readout is given.",
                   *settings.light_hz, expected, *result.roll_hz,
                   which.empty() ? std::string() : ", as would " + which));
}

/// Frequency of the first wave in a clip, when it can be told.
std::optional<double> name_in_clip(const std::vector<Wave>& waves, double fps,
                                   const FootageSettings& settings, FootageResult& result) {
  std::optional<double> hz;
  if (settings.light_hz) {
    if (const auto known = wave_of_light(waves, *settings.light_hz, fps)) {
      hz = from_known_light(*known, waves, fps, *settings.light_hz, result);
    } else {
      say_unexplained(waves.front(), fps, settings, result);
    }
  }
  if (!result.lights.empty()) return hz;
  result.lights = light_candidates(waves.front(), fps, settings.readout_s);
  for (const LightCandidate& c : result.lights) {
    if (c.plausible && !hz && settings.readout_s) hz = c.hz;
  }
  return hz;
}

std::optional<double> name_in_still(const Wave& wave, const FootageSettings& settings,
                                    FootageResult& result) {
  if (settings.light_hz && has_bands(wave)) {
    set_readout(result, wave, *settings.light_hz);
    const double sd = stated_sd * *settings.light_hz;
    result.readout_s_sd = std::hypot(*result.readout_s_sd, stated_sd * *result.readout_s);
    result.lights.push_back({*settings.light_hz, sd, as_given(*settings.light_hz, sd), true});
  } else if (settings.readout_s && *settings.readout_s > 0.0) {
    const double coarse = wave.bands / *settings.readout_s;
    const double sd = coarse * std::hypot(wave.bands_sd / wave.bands, 0.02);
    result.lights.push_back({coarse, sd, "bands over readout, coarse", true});
  }
  return settings.light_hz;
}

void recover(const std::vector<Wave>& waves, std::optional<double> hz, double fps,
             double smallest_seen, const FootageSettings& settings, FootageResult& result) {
  if (!hz) {
    note(result, "light_frequency_unknown",
         "The light itself was not recovered: that needs its frequency, from --light-hz or, "
         "through the rows, from --readout.");
    return;
  }
  if (!(fps > 0.0)) return;
  const auto readout = settings.readout_s ? settings.readout_s : result.readout_s;
  result.light = recovered_light(waves, *hz, readout, fps, *settings.exposure_s, smallest_seen);
  result.light->name = "light in " + result.clip;
  result.light->source = "camera: " + result.clip;
  for (const Finding& f : result.light->findings) result.warnings.push_back(f);
}

}  // namespace

void name_the_light(const std::vector<Wave>& waves, double fps, double smallest_seen,
                    const FootageSettings& settings, FootageResult& result) {
  const std::optional<double> hz = fps > 0.0 ? name_in_clip(waves, fps, settings, result)
                                             : name_in_still(waves.front(), settings, result);
  if (settings.exposure_s) recover(waves, hz, fps, smallest_seen, settings, result);
}

}  // namespace lampbeat::footage
