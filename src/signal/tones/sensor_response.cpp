#include "signal/tones/sensor_response.hpp"

#include <cmath>
#include <complex>

#include "arithmetic/phase.hpp"

namespace lampbeat::signal::tones {

ToneAnalysis undo(const SensorResponse& response, ToneAnalysis tones) {
  if (response.flat()) return tones;
  for (ToneSeries& series : tones.series) {
    for (Tone& tone : series.tones) {
      std::complex<double> gain = 1.0;
      if (response.low_pass_hz) gain /= std::complex(1.0, tone.hz / *response.low_pass_hz);
      if (response.high_pass_hz) {
        const std::complex<double> ratio(0.0, tone.hz / *response.high_pass_hz);
        gain *= ratio / (1.0 + ratio);
      }
      tone.amplitude /= std::abs(gain);
      tone.amplitude_sd /= std::abs(gain);
      tone.phase_rad = arithmetic::wrapped_rad(tone.phase_rad - std::arg(gain));
    }
  }
  return tones;
}

}  // namespace lampbeat::signal::tones
