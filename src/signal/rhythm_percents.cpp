#include "signal/rhythm_percents.hpp"

#include <algorithm>
#include <cmath>

#include "signal/reconstruction.hpp"
#include "signal/rhythm.hpp"

namespace lampbeat {

namespace {

constexpr double same_hz = 0.01;

ToneAnalysis only(const ToneAnalysis& tones, const ToneSeries& series) {
  ToneAnalysis one = tones;
  one.series = {series};
  return one;
}

double percent_of(const ToneAnalysis& one, const std::vector<RhythmFigures>& alone) {
  const RhythmChoice choice = choose_rhythms(one);
  if (choice.rhythms.empty()) return 0.0;
  for (const RhythmFigures& folded : alone) {
    if (std::abs(folded.hz - choice.rhythms.front().hz) <= same_hz * folded.hz) {
      return folded.percent_sum / folded.windows;
    }
  }
  const auto figures = figures_of_tones(one, one.mean, choice.rhythms);
  return figures ? figures->percent_flicker : 0.0;
}

}  // namespace

std::vector<RhythmPercent> rhythm_percents(const ToneAnalysis& tones,
                                           const std::vector<RhythmFigures>& alone,
                                           double together) {
  std::vector<RhythmPercent> rhythms;
  const auto own = std::count_if(tones.series.begin(), tones.series.end(), [](const auto& series) {
    return series.kind != SeriesKind::sideband && !series.tones.empty();
  });
  for (const ToneSeries& series : tones.series) {
    if (series.kind == SeriesKind::sideband || series.tones.empty()) continue;
    const ToneAnalysis one = only(tones, series);
    const Tone* strongest = strongest_tone(one);
    rhythms.push_back({strongest->hz, own == 1 ? together : percent_of(one, alone)});
    for (const Tone& tone : series.tones) {
      if (tone.hz < 0.99 * strongest->hz) {
        rhythms.push_back({tone.hz, 100.0 * tone.amplitude / tones.mean});
      }
    }
  }
  return rhythms;
}

}  // namespace lampbeat
