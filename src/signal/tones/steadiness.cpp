#include "signal/tones/steadiness.hpp"

#include <algorithm>
#include <cmath>

#include "arithmetic/phase.hpp"

namespace lampbeat::signal::tones {

namespace {

double phase_at_centre(const Tone& tone, double duration_s) {
  return tone.phase_rad + arithmetic::turn * tone.hz * duration_s / 2.0;
}

double information_of(const ToneSeries& series) {
  double information = 0.0;
  for (const Tone& tone : series.tones) {
    const double order = tone.order;
    information += order * order * tone.amplitude * tone.amplitude;
  }
  return information;
}

}  // namespace

double SteadinessTracker::shift_of(const ToneSeries& series, double elapsed_s,
                                   double duration_s) const {
  // Where the last window and both windows' frequencies expect it; only the rest is wrapped.
  const double drift_hz = (series.fundamental_hz + clock_.last().hz) / 2.0 - clock_.reference_hz();
  const double expected =
      clock_.last().shift_rad + arithmetic::turn * drift_hz * (elapsed_s - clock_.last().elapsed_s);
  double deviation = 0.0;
  for (std::size_t i = 0; i < series.tones.size(); ++i) {
    const Tone& tone = series.tones[i];
    const double order = tone.order;
    const double steady =
        arithmetic::turn * std::fmod(order * clock_.reference_hz() * elapsed_s, 1.0);
    const double difference = arithmetic::wrapped_rad(
        phase_at_centre(tone, duration_s) - reference_phase_[i] - steady - order * expected);
    deviation += order * tone.amplitude * tone.amplitude * difference;
  }
  return expected + deviation / information_of(series);
}

void SteadinessTracker::add(const ToneSeries& series, double start_s, double duration_s,
                            double noise_sd, double samples) {
  if (series.tones.empty() || !(series.fundamental_hz > 0.0)) return;
  const double information = information_of(series);
  if (!(information > 0.0)) return;
  const double centre_s = start_s + duration_s / 2.0;
  if (clock_.windows() == 0) {
    origin_s_ = centre_s;
    clock_.set_reference(series.fundamental_hz);
    for (const Tone& tone : series.tones) {
      reference_phase_.push_back(phase_at_centre(tone, duration_s));
    }
  }
  if (series.tones.size() != reference_phase_.size()) return;
  ClockReading reading;
  reading.elapsed_s = centre_s - origin_s_;
  reading.shift_rad = clock_.windows() == 0 ? 0.0 : shift_of(series, reading.elapsed_s, duration_s);
  reading.shift_sd_rad = noise_sd * std::sqrt(2.0 / (samples * information));
  reading.hz = series.fundamental_hz;
  reading.hz_sd = series.fundamental_hz_sd;
  clock_.add(reading);
}

}  // namespace lampbeat::signal::tones
