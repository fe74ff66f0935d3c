#include "footage/answer/judging.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "lampbeat/visibility.hpp"

namespace lampbeat::footage {

namespace {

// A light that is not named makes anything between these over the picture.
constexpr double fewest_bands = 0.3;
constexpr double most_bands = 30.0;

}  // namespace

bool could_be_clean(double contrast, std::optional<double> roll_hz, double fps,
                    const FootageSettings& settings) {
  const double roll = slowing(fps, settings.viewing) * roll_hz.value_or(0.0);
  double most = most_bands;
  if (settings.light_hz && fps > 0.0) {
    most = *settings.light_hz * settings.readout_s.value_or(1.0 / fps);
  }
  const auto clean = [](const Visibility& seen) { return verdict_of(seen) == Verdict::clean; };
  bool hidden = roll == 0.0 || clean(pulse_visibility(contrast, std::abs(roll), settings.viewing));
  for (double bands = fewest_bands; bands < 1.4 * most; bands *= 1.4) {
    hidden =
        hidden && clean(band_visibility(contrast, std::min(bands, most), roll, settings.viewing));
  }
  return hidden;
}

void judge(double fps, const FootageSettings& settings, FootageResult& result) {
  const double slower = slowing(fps, settings.viewing);
  const Visibility bands =
      band_visibility(*result.band_percent / 100.0, result.bands_per_frame.value_or(2.0),
                      slower * result.roll_hz.value_or(0.0), settings.viewing);
  result.visibility = bands.most_sensitive;
  result.verdict = verdict_of(bands);
  if (result.pulse_percent && result.pulse_hz) {
    const Visibility pulse = pulse_visibility(*result.pulse_percent / 100.0,
                                              slower * *result.pulse_hz, settings.viewing);
    result.visibility = std::max(*result.visibility, pulse.most_sensitive);
    result.verdict = std::max(*result.verdict, verdict_of(pulse));
  }
}

void doubt_curve(const BetterCurve& better, double fps, const FootageSettings& settings,
                 FootageResult& result) {
  const bool logarithmic = better.name == "log";
  const bool dark_deeper = better.bright < 1.0;
  result.transfer_doubt = fmt::format(
      "Read as {}, the bands are {:.2g} times as deep in the {} parts of the picture as in the {}, "
      "which no light "
      "does; read as {}, they are equal everywhere and {:.2g} times as deep as stated: {}.",
      transfer_name(result.transfer), dark_deeper ? 1.0 / better.bright : better.bright,
      dark_deeper ? "dark" : "bright", dark_deeper ? "bright" : "dark",
      logarithmic ? "a camera's logarithmic mode" : better.name, better.deeper,
      logarithmic ? "convert the clip to an ordinary picture, or film in the camera's normal mode"
                  : fmt::format("if it was recorded so, add --transfer {}", better.name));
  result.warnings.push_back({"transfer_doubtful", *result.transfer_doubt});
  // Logarithmic modes differ from maker to maker.
  const double off =
      std::max(1.0 - better.least, better.most - 1.0) + (logarithmic ? 0.2 * better.deeper : 0.0);
  result.band_percent_sd = std::hypot(*result.band_percent_sd, off * *result.band_percent);
  for (SeenWave& wave : result.waves) {
    wave.band_percent_sd = std::hypot(wave.band_percent_sd, off * wave.band_percent);
  }
  // A light worked back through the wrong curve would be the wrong light.
  result.light.reset();
  if (!result.verdict) return;
  for (const double factor : {better.least, better.most}) {
    FootageResult other = result;
    *other.band_percent = std::min(100.0, *other.band_percent * factor);
    if (other.pulse_percent) *other.pulse_percent = std::min(100.0, *other.pulse_percent * factor);
    judge(fps, settings, other);
    if (other.verdict == result.verdict) continue;
    result.verdict.reset();
    result.visibility.reset();
    return;
  }
}

void judge_absence(std::optional<double> roll_hz, double fps, const FootageSettings& settings,
                   FootageResult& result) {
  if (could_be_clean(*result.smallest_seen_percent / 100.0, roll_hz, fps, settings)) {
    result.verdict = Verdict::clean;
    return;
  }
  result.warnings.push_back(
      {"too_faint_to_exclude",
       fmt::format(
           "Bands of up to {:.2g} % could have gone unnoticed, and bands as deep as that can "
           "be seen: film longer, brighter, on a tripod, a plain wall.",
           *result.smallest_seen_percent)});
}

}  // namespace lampbeat::footage
