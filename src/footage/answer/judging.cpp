#include "footage/answer/judging.hpp"

#include <algorithm>
#include <cmath>

#include "lampbeat/visibility.hpp"

namespace lampbeat::footage::answer {

namespace {

// Over the picture, of a light that is not named: 100 Hz read in 3 ms, as by the quickest sensors,
// to 1000 Hz read in 30 ms, as by slow telephones (common practice, no source).
constexpr double fewest_bands = 0.3;
constexpr double most_bands = 30.0;
// Half an octave: the eye's sensitivity changes little between them.
constexpr double next_bands = 1.4;

}  // namespace

Judgement judged(const Figures& figures, std::optional<double> fps, const Viewing& viewing) {
  const double slower = slowing(fps.value_or(0.0), viewing);
  const double roll_hz = figures.roll ? figures.roll->hz : 0.0;
  const Visibility bands = band_visibility(figures.bands.percent / 100.0, figures.bands.per_frame,
                                           slower * roll_hz, viewing);
  Judgement judgement{bands.most_sensitive, verdict_of(bands)};
  if (figures.roll && figures.roll->pulse_hz) {
    const Visibility pulse = pulse_visibility(figures.roll->pulse_percent / 100.0,
                                              slower * *figures.roll->pulse_hz, viewing);
    judgement.visibility = std::max(*judgement.visibility, pulse.most_sensitive);
    judgement.verdict = std::max(judgement.verdict, verdict_of(pulse));
  }
  return judgement;
}

bool could_be_clean(double contrast, std::optional<double> roll_hz, std::optional<double> fps,
                    const FootageSettings& settings) {
  const double roll = slowing(fps.value_or(0.0), settings.viewing) * roll_hz.value_or(0.0);
  // Rows take a frame to be read at most.
  const double most = settings.light_hz && fps
                          ? *settings.light_hz * settings.readout_s.value_or(1.0 / *fps)
                          : most_bands;
  const auto clean = [](const Visibility& seen) { return verdict_of(seen) == Verdict::clean; };
  bool hidden = roll == 0.0 || clean(pulse_visibility(contrast, std::abs(roll), settings.viewing));
  for (double bands = fewest_bands; bands < next_bands * most; bands *= next_bands) {
    hidden =
        hidden && clean(band_visibility(contrast, std::min(bands, most), roll, settings.viewing));
  }
  return hidden;
}

}  // namespace lampbeat::footage::answer
