#include "signal/states/irregular_tones.hpp"

#include <algorithm>
#include <cmath>

namespace lampbeat::signal::states {

namespace {

/// One line holds at most all of its band: √2 times the band's rms. The other state's band may hold
/// that much more, as two stretches of irregular light scatter.
constexpr double stands_out = 2.0;

bool lies_in(const std::vector<UnexplainedLight>& bands, double hz, double relative) {
  return std::any_of(bands.begin(), bands.end(), [&](const UnexplainedLight& band) {
    return hz >= band.from_hz && hz <= band.to_hz && relative <= stands_out * band.rms;
  });
}

}  // namespace

IrregularTones without_irregular(const JudgedState& state, const JudgedState& other) {
  IrregularTones left{state.tones, 0.0};
  const double unexplained = state.figures.unexplained_percent.value_or(0.0) / 100.0;
  double power = unexplained * unexplained;
  const double mean = state.tones.mean;
  if (!(mean > 0.0)) return left;
  for (ToneSeries& series : left.tones.series) {
    std::erase_if(series.tones, [&](const Tone& tone) {
      const double relative = tone.amplitude / mean;
      const bool irregular = lies_in(state.figures.unexplained, tone.hz, relative) ||
                             lies_in(other.figures.unexplained, tone.hz, relative);
      if (irregular) power += relative * relative / 2.0;
      return irregular;
    });
  }
  std::erase_if(left.tones.series, [](const ToneSeries& s) { return s.tones.empty(); });
  left.irregular = std::sqrt(power);
  return left;
}

}  // namespace lampbeat::signal::states
