#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "lampbeat/standards.hpp"
#include "signal/tones/aliases.hpp"
#include "words/numbers.hpp"

namespace lampbeat::signal::tones {
double worst_svm(const ToneAnalysis& tones, const std::vector<AliasDoubt>& doubts, double rate_hz) {
  Light light;  // one series, then all of them at their worst
  Light worst;
  for (std::size_t s = 0; s < tones.series.size(); ++s) {
    const auto doubt = std::find_if(doubts.begin(), doubts.end(),
                                    [&](const AliasDoubt& d) { return d.series == s; });
    // A series read faster by n turns of the rate to each cycle; n = 0 is as seen.
    const auto read = [&](double n, double side) {
      light.components.clear();
      for (const Tone& tone : tones.series[s].tones) {
        const double turns =
            n > 0.0 ? n * std::max(1.0, std::round(tone.hz / doubt->seen_hz)) : 0.0;
        const double hz = turns * rate_hz + side * tone.hz;
        light.components.push_back({hz, tone.amplitude / tones.mean, 0.0, std::nullopt});
      }
      return svm(light);
    };
    double most = read(0.0, 1.0);
    std::vector<LightComponent> at_worst = light.components;
    for (double n = 1.0; doubt != doubts.end() && n * rate_hz - doubt->seen_hz <= svm_to_hz; ++n) {
      for (const double side : {-1.0, 1.0}) {
        const double value = read(n, side);
        if (value <= most) continue;
        most = value;
        at_worst = light.components;
      }
    }
    worst.components.insert(worst.components.end(), at_worst.begin(), at_worst.end());
  }
  return svm(worst);
}

std::vector<LightState> alias_readings(const ToneAnalysis& tones, const AliasDoubt& doubt,
                                       double rate_hz) {
  std::vector<LightState> readings;
  if (!(tones.mean > 0.0)) return readings;
  for (const double side : {-1.0, 1.0}) {
    LightState reading;
    reading.what = fmt::format(
        "if its rhythm at {} Hz is really one of {} Hz, folded down "
        "by the sampling",
        words::in_digits_at_most(doubt.seen_hz, 6),
        words::in_digits_at_most(rate_hz + side * doubt.seen_hz, 6));
    for (std::size_t s = 0; s < tones.series.size(); ++s) {
      const ToneSeries& series = tones.series[s];
      const bool locked = series.kind == SeriesKind::mains_locked && s != doubt.series;
      if (locked) reading.mains_hz = series.fundamental_hz;
      for (const Tone& tone : series.tones) {
        LightComponent c{tone.hz, tone.amplitude / tones.mean, tone.phase_rad, std::nullopt};
        if (locked) c.mains_order = tone.order;
        if (s == doubt.series) {
          // At the samples cos(2π(n·rate − f)t − φ) is cos(2πft + φ).
          const double turns = std::max(1.0, std::round(tone.hz / doubt.seen_hz));
          c.hz = turns * rate_hz + side * tone.hz;
          c.phase_rad *= side;
        }
        reading.components.push_back(c);
      }
    }
    std::stable_sort(reading.components.begin(), reading.components.end(),
                     [](const auto& a, const auto& b) { return a.amplitude > b.amplitude; });
    readings.push_back(std::move(reading));
  }
  return readings;
}

}  // namespace lampbeat::signal::tones
