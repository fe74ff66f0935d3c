#include "footage/answer/still_evidence.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "footage/answer/absence.hpp"
#include "footage/answer/guess.hpp"
#include "footage/answer/standing_floors.hpp"
#include "footage/waves/contrasts.hpp"
#include "footage/waves/still_bands.hpp"
#include "lampbeat/exposure.hpp"
#include "words/numbers.hpp"

namespace lampbeat::footage::answer {

namespace {

// Share by which mains and marked shutter may be off whole cycles together: EN 50160 gives mains 1
// %.
constexpr double mains_off = 0.01;
// Share of a rhythm: an exposure that leaves less makes bands of 2 % at most, none to time rows by.
constexpr double cannot_band = 0.02;

/// The most that an exposure leaves of any light of this rhythm, mains and shutter a little off.
double most_left(double light_hz, double exposure_s) {
  const double cycles = light_hz * exposure_s;
  double most = 0.0;
  for (double off = -mains_off; off <= mains_off; off += 0.1 * mains_off) {
    most = std::max(most, std::abs(exposure_gain(light_hz * (1.0 + off), exposure_s)));
  }
  return cycles < 0.5 ? 1.0 : most;
}

/// The exposure averages the light away, so that no stripe can be its.
bool averaged_away(const FootageSettings& settings) {
  return settings.light_hz && settings.exposure_s &&
         most_left(*settings.light_hz, *settings.exposure_s) < cannot_band;
}

Finding exposure_cannot_band(double light_hz, double exposure_s) {
  return {
      "exposure_cannot_band",
      fmt::format("An exposure of {} ms spans {:.0f} whole cycles of {:g} Hz and leaves at "
                  "most {} % of its rhythm: whatever is striped in this picture is not that "
                  "light. To time the rows, photograph a plain wall at 1/1000.",
                  words::in_digits_at_most(1e3 * exposure_s, 4), std::round(light_hz * exposure_s),
                  light_hz, words::in_digits_at_most(100.0 * most_left(light_hz, exposure_s), 1))};
}

waves::Wave with_floors(waves::Wave wave, const stretches::Watched& watched) {
  const double rounding = rounding_left * watched.layout.rounding;
  wave.bands_sd = std::hypot(wave.bands_sd, bands_floor * wave.bands);
  for (waves::Harmonic& h : wave.harmonics) {
    h.sd = std::hypot(h.sd, amplitude_floor * std::abs(h.amplitude), rounding);
  }
  return wave;
}

const char* what_settles() {
  return "Painted, woven and shadowed stripes look the same: photograph a plain wall and say "
         "--plain-wall, or film two seconds in which bands roll.";
}

Finding stripes_or_bands(const waves::Wave& wave, int picture_rows) {
  return {
      "stripes_or_bands",
      fmt::format("The picture holds about {} stripes of some {} % over its height, "
                  "among other things of that kind, so whether they are bands is not known. {}",
                  words::in_digits_at_most(wave.bands, 2),
                  words::in_digits_at_most(100.0 * waves::band_contrast({wave}, picture_rows), 1),
                  what_settles())};
}

Finding taken_for_a_wall(bool like_light) {
  return {"still_taken_for_a_wall",
          like_light
              ? std::string("One photograph cannot show what moves. This one holds soft stripes "
                            "and little else, so they were taken for bands on a wall.")
              : fmt::format("These figures are for stripes that most columns of the picture share. "
                            "Other things are in it too, so they are not judged. {}",
                            what_settles())};
}

Evidence open_to_doubt(Finding finding) {
  Evidence evidence;
  evidence.open_to_doubt = true;
  evidence.findings.push_back(std::move(finding));
  return evidence;
}

Evidence nothing_found(std::optional<double> smallest_seen) {
  if (!smallest_seen) {
    return open_to_doubt(
        {"scene_hides_bands",
         "The light and dark of the scene itself would hide bands of any depth. Photograph a "
         "plain, evenly lit wall, or film two seconds in which bands roll."});
  }
  Evidence evidence = nothing_seen(
      100.0 * *smallest_seen,
      fmt::format(", if they number {:g} or more over the picture. One picture does not prove a "
                  "light clean",
                  waves::fewest_in_still));
  evidence.open_to_doubt = true;
  return evidence;
}

}  // namespace

Evidence still_evidence(const stretches::Watched& watched, const FootageSettings& settings) {
  if (averaged_away(settings)) {
    return open_to_doubt(exposure_cannot_band(*settings.light_hz, *settings.exposure_s));
  }
  const waves::StillBands still = waves::bands_in_still(watched.scene, watched.layout);
  if (!still.found) return nothing_found(still.smallest_seen);
  const waves::Wave wave = with_floors(still.found->wave, watched);
  const bool of_light = settings.plain_wall || still.found->like_light;
  if ((!of_light && !still.found->leads) || is_guess(wave)) {
    return open_to_doubt(stripes_or_bands(wave, watched.format.height));
  }
  Evidence evidence;
  evidence.waves = {wave};
  evidence.open_to_doubt = !of_light;
  if (!settings.plain_wall) {
    evidence.findings.push_back(taken_for_a_wall(still.found->like_light));
  }
  return evidence;
}

}  // namespace lampbeat::footage::answer
