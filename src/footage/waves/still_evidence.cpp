#include "footage/waves/still_evidence.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "footage/waves/contrasts.hpp"
#include "footage/waves/still_bands.hpp"
#include "lampbeat/exposure.hpp"

namespace lampbeat::footage {

namespace {

// Beyond this share of itself a figure is a guess.
constexpr double too_uncertain = 0.25;
// What code values and compression do to a figure, share of it (clips of known content).
constexpr double amplitude_floor = 0.01;
constexpr double bands_floor = 0.003;
constexpr double rounding_left = 0.3;
// How far mains and marked shutter may be from whole cycles together: EN 50160 gives mains 1 %.
constexpr double mains_off = 0.01;
// Bands below this are none to time the rows by.
constexpr double cannot_band = 0.02;

void note(Evidence& evidence, const char* code, std::string message) {
  evidence.findings.push_back({code, std::move(message)});
}

/// The most that an exposure leaves of any light of this rhythm, mains and shutter a little off.
double most_left(double light_hz, double exposure_s) {
  const double cycles = light_hz * exposure_s;
  double most = 0.0;
  for (double off = -mains_off; off <= mains_off; off += 0.1 * mains_off) {
    most = std::max(most, std::abs(exposure_gain(light_hz * (1.0 + off), exposure_s)));
  }
  return cycles < 0.5 ? 1.0 : most;
}

/// Returns whether the exposure averages the light away, so that no stripe can be its.
bool averaged_away(Evidence& evidence, const FootageSettings& settings) {
  if (!settings.light_hz || !settings.exposure_s) return false;
  const double most = most_left(*settings.light_hz, *settings.exposure_s);
  if (most >= cannot_band) return false;
  note(
      evidence, "exposure_cannot_band",
      fmt::format("An exposure of {:.4g} ms spans {:.0f} whole cycles of {:g} Hz and leaves at "
                  "most {:.1g} % of its rhythm: whatever is striped in this picture is not that "
                  "light. To time the rows, photograph a plain wall at 1/1000.",
                  1e3 * *settings.exposure_s, std::round(*settings.light_hz * *settings.exposure_s),
                  *settings.light_hz, 100.0 * most));
  return true;
}

void add_floors(Wave& wave, const Watched& watched) {
  const double rounding = rounding_left * watched.layout.rounding;
  wave.bands_sd = std::hypot(wave.bands_sd, bands_floor * wave.bands);
  for (Harmonic& h : wave.harmonics) {
    h.sd = std::hypot(h.sd, amplitude_floor * std::abs(h.amplitude), rounding);
  }
}

bool is_guess(const Wave& wave) {
  return wave.bands_sd > too_uncertain * wave.bands ||
         wave.strongest().sd > too_uncertain * std::abs(wave.strongest().amplitude);
}

const char* what_settles() {
  return "Painted, woven and shadowed stripes look the same: photograph a plain wall and say "
         "--plain-wall, or film two seconds in which bands roll.";
}

void withhold(Evidence& evidence, const Wave& wave) {
  note(evidence, "stripes_or_bands",
       fmt::format("The picture holds about {:.2g} stripes of some {:.1g} % over its height, among "
                   "other things of that kind, so whether they are bands is not known. {}",
                   wave.bands, 100.0 * band_contrast({wave}), what_settles()));
}

void say_nothing_found(Evidence& evidence, double smallest_seen) {
  if (smallest_seen > 0.0) {
    evidence.nothing_seen = true;
    evidence.smallest_seen_percent = 100.0 * smallest_seen;
    note(
        evidence, "no_bands_seen",
        fmt::format("No bands were found; any deeper than {:.2g} % would have been, if they number "
                    "{:g} or more over the picture. One picture does not prove a light clean.",
                    100.0 * smallest_seen, fewest_in_still));
    return;
  }
  note(
      evidence, "scene_hides_bands",
      fmt::format("The light and dark of the scene itself would hide bands of any depth. {}",
                  "Photograph a plain, evenly lit wall, or film two seconds in which bands roll."));
}

}  // namespace

void look_at_still(Evidence& evidence, const Watched& watched, const FootageSettings& settings) {
  evidence.open_to_doubt = true;
  if (averaged_away(evidence, settings)) return;
  const StillBands found = bands_in_still(watched.scene, watched.layout);
  if (!found.wave) return say_nothing_found(evidence, found.smallest_seen);
  Wave wave = *found.wave;
  add_floors(wave, watched);
  const bool of_light = settings.plain_wall || found.like_light;
  if ((!of_light && !found.leads) || is_guess(wave)) return withhold(evidence, wave);
  evidence.waves = {wave};
  evidence.open_to_doubt = !of_light;
  if (settings.plain_wall) return;
  note(evidence, "still_taken_for_a_wall",
       found.like_light
           ? std::string("One photograph cannot show what moves. This one holds soft stripes and "
                         "little else, so they were taken for bands on a wall.")
           : fmt::format("These figures are for stripes that most columns of the picture share. "
                         "Other things are in it too, so they are not judged. {}",
                         what_settles()));
}

}  // namespace lampbeat::footage
