#include "footage/answer/naming.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "footage/answer/figures.hpp"
#include "footage/waves/frequencies.hpp"
#include "words/numbers.hpp"

namespace lampbeat::footage::answer {

namespace {

// Standard uncertainty of a stated mains frequency, a share of it: 50 Hz mains keeps within 0.2 Hz
// nearly always (common practice, no source); half of that, 0.1 of 50 Hz.
constexpr double stated_sd = 0.002;
// Share of itself: a readout time is rarely known better (common practice, no source).
constexpr double readout_sd = 0.02;
// Candidates that a sentence holds.
constexpr std::size_t most_named = 3;

Readout readout_of(const waves::Wave& wave, double hz) {
  return {wave.bands / hz, wave.bands_sd / hz};
}

double roll_of_light(double hz, double fps) { return hz - fps * std::floor(hz / fps + 0.5); }

std::string as_given(double hz, double sd) {
  const auto mains = waves::mains_match(hz, sd);
  return mains ? fmt::format("{} Hz, as given: {} times {:g} Hz mains",
                             words::in_digits_at_most(hz, 5), mains->order, mains->mains_hz)
               : fmt::format("{} Hz, as given", words::in_digits_at_most(hz, 5));
}

/// The light is the one the person named.
NamedLight as_stated(const waves::KnownWave& known, const std::vector<waves::Wave>& waves,
                     double fps, double stated_hz) {
  NamedLight named;
  const waves::Wave& wave = waves[known.wave];
  const bool banded = has_bands(waves.front());
  if (banded) {
    named.readout = readout_of(wave, known.hz);
  } else {
    named.roll_hz = roll_of_light(known.hz, fps);
    named.findings.push_back(
        {"no_bands_to_time",
         "All rows pulse together: the shutter is global, or reads too quickly for this light to "
         "time it."});
  }
  if (known.upwards && banded) {
    named.findings.push_back(
        {"read_upwards",
         "The bands roll the other way round: the camera was upside down, or reads its rows from "
         "the bottom up."});
  }
  if (known.order > 1) {
    named.findings.push_back(
        {"light_is_a_multiple",
         fmt::format("The bands roll as {} Hz does, {} times the {:g} Hz given.",
                     words::in_digits_at_most(known.hz, 5), known.order, stated_hz)});
  }
  const double sd = wave.roll_sd * fps;
  named.lights.push_back({known.hz, sd, as_given(known.hz, sd), true});
  if (known.wave == 0) named.first_hz = known.hz;
  return named;
}

/// What else the waves may come from, whatever the person named.
NamedLight as_seen(const waves::Wave& wave, double fps, std::optional<double> readout_s) {
  NamedLight named;
  named.lights = waves::light_candidates(wave, fps, readout_s);
  const auto believed = std::find_if(named.lights.begin(), named.lights.end(),
                                     [](const LightCandidate& c) { return c.plausible; });
  if (readout_s && believed != named.lights.end()) named.first_hz = believed->hz;
  return named;
}

Finding not_as_stated(const NamedLight& seen, double fps, double roll_hz, double stated_hz) {
  std::string which;
  for (std::size_t i = 0; i < std::min(seen.lights.size(), most_named); ++i) {
    which +=
        fmt::format("{}{} Hz", i == 0 ? "" : ", ", words::in_digits_at_most(seen.lights[i].hz, 5));
  }
  return {"light_does_not_explain_roll",
          fmt::format("A light of {:g} Hz would roll at {:+.2f} Hz at this frame rate; the bands "
                      "roll at {:+.2f} Hz{}. No readout is given.",
                      stated_hz, roll_of_light(stated_hz, fps), roll_hz,
                      which.empty() ? std::string() : ", as would " + which)};
}

}  // namespace

NamedLight light_in_clip(const std::vector<waves::Wave>& waves, double fps, double roll_hz,
                         const FootageSettings& settings) {
  if (settings.light_hz) {
    if (const auto known = waves::wave_of_light(waves, *settings.light_hz, fps)) {
      return as_stated(*known, waves, fps, *settings.light_hz);
    }
  }
  NamedLight named = as_seen(waves.front(), fps, settings.readout_s);
  if (settings.light_hz) {
    named.findings.push_back(not_as_stated(named, fps, roll_hz, *settings.light_hz));
  }
  return named;
}

NamedLight light_in_still(const waves::Wave& wave, const FootageSettings& settings) {
  NamedLight named;
  named.first_hz = settings.light_hz;
  if (settings.light_hz && has_bands(wave)) {
    const double hz = *settings.light_hz;
    const double sd = stated_sd * hz;
    named.readout = readout_of(wave, hz);
    named.readout->s_sd = std::hypot(named.readout->s_sd, stated_sd * named.readout->s);
    named.lights.push_back({hz, sd, as_given(hz, sd), true});
  } else if (settings.readout_s && *settings.readout_s > 0.0) {
    const double coarse = wave.bands / *settings.readout_s;
    const double sd = coarse * std::hypot(wave.bands_sd / wave.bands, readout_sd);
    named.lights.push_back({coarse, sd, "bands over readout, coarse", true});
  }
  return named;
}

}  // namespace lampbeat::footage::answer
