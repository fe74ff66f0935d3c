#include "signal/states/rhythm_percents.hpp"

#include <algorithm>
#include <cmath>

#include "signal/cycle/each_rhythm.hpp"
#include "signal/cycle/reconstruction.hpp"
#include "signal/states/state_figures.hpp"
#include "signal/tones/rhythm.hpp"

namespace lampbeat::signal::states {

namespace {

ToneAnalysis only(const ToneAnalysis& tones, const ToneSeries& series) {
  ToneAnalysis one = tones;
  one.series = {series};
  return one;
}

/// Of the one series.
RhythmPercent alone_percent(const ToneAnalysis& one, const std::vector<RhythmFigures>& folded) {
  RhythmPercent own;
  for (const RhythmFigures& figures : folded) {
    if (figures.fundamental != one.series.front().fundamental) continue;
    const Uncertain folded_alone = figures.percents.figure();
    own.percent = folded_alone.value;
    own.percent_sd = folded_alone.sd;
    return own;
  }
  const tones::RhythmChoice choice = tones::choose_rhythms(one);
  if (const auto figures = cycle::figures_of_tones(one, one.mean, choice.rhythms)) {
    own.percent = figures->percent_flicker;
    own.percent_sd = figures->percent_flicker_sd;
  }
  return own;
}

}  // namespace

std::vector<RhythmPercent> rhythm_percents(const ToneAnalysis& tones,
                                           const std::vector<RhythmFigures>& alone, double together,
                                           double together_sd) {
  std::vector<RhythmPercent> rhythms;
  const auto own = std::count_if(tones.series.begin(), tones.series.end(), [](const auto& series) {
    return series.kind != SeriesKind::sideband && !series.tones.empty();
  });
  for (const ToneSeries& series : tones.series) {
    if (series.kind == SeriesKind::sideband || series.tones.empty()) continue;
    const ToneAnalysis one = only(tones, series);
    const Tone* strongest = tones::strongest_tone(one);
    RhythmPercent whole = alone_percent(one, alone);
    if (own == 1) {
      whole.percent = together;
      whole.percent_sd = together_sd;
    }
    whole.hz = strongest->hz;
    whole.hz_sd = strongest->hz_sd;
    rhythms.push_back(whole);
    for (const Tone& tone : series.tones) {
      if (tone.hz >= 0.99 * strongest->hz) continue;
      rhythms.push_back({tone.hz, tone.hz_sd, 100.0 * tone.amplitude / tones.mean,
                         100.0 * tone.amplitude_sd / tones.mean});
    }
  }
  return rhythms;
}

}  // namespace lampbeat::signal::states
