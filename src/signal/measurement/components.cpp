#include "signal/measurement/components.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

#include "signal/tones/rhythm.hpp"

namespace lampbeat::signal::measurement {

namespace {

/// Multiples far above the sampling rate are recognised by where they fold to, so that they are not
/// taken for rhythms; beyond so many times the rate nobody should be told of them.
constexpr double farthest_listed = 2.0;

ComponentKind kind_of(SeriesKind kind) {
  switch (kind) {
    case SeriesKind::mains_locked:
      return ComponentKind::mains;
    case SeriesKind::sideband:
      return ComponentKind::sideband;
    case SeriesKind::free_running:
      break;
  }
  return ComponentKind::free_running;
}

MeasuredComponent component(const Tone& tone, SeriesKind kind, double strongest) {
  MeasuredComponent c;
  c.hz = tone.hz;
  c.hz_sd = tone.hz_sd;
  c.relative = tone.amplitude / strongest;
  c.phase_deg = std::remainder(tone.phase_rad * 180.0 / std::numbers::pi, 360.0);
  if (kind == SeriesKind::mains_locked) c.mains_order = tone.order;
  c.kind = kind_of(kind);
  return c;
}

}  // namespace

void relate_components(Measurement& m, const ToneAnalysis& tones,
                       const states::MeasurementTrust& trust, const states::CaptureFacts& capture) {
  const Tone* strongest = tones::strongest_tone(tones);
  if (trust.rate_hides_mains || !strongest) return;
  const double rate_hz = capture.rate_hz;
  const double lag_s = rate_hz > 0.0 ? sensor::lag_s(capture.response, 1.0 / rate_hz) : 0.0;
  const bool related = trust.mean() && !trust.frequency_only && tones.mean > 0.0;
  for (const ToneSeries& series : tones.series) {
    if (series.kind == SeriesKind::mains_locked && !m.mains_hz) m.mains_hz = series.fundamental_hz;
    for (const Tone& tone : series.tones) {
      MeasuredComponent c = component(tone, series.kind, strongest->amplitude);
      if (lag_s > 0.0) c.phase_deg = std::remainder(c.phase_deg + 360.0 * tone.hz * lag_s, 360.0);
      if (related) {
        c.percent = 100.0 * tone.amplitude / tones.mean;
        c.percent_sd = 100.0 * tone.amplitude_sd / tones.mean;
        if (const auto& given = capture.settings.mean_level; given) {
          c.percent_sd =
              std::hypot(*c.percent_sd, *c.percent * capture.settings.mean_level_sd / *given);
        }
      }
      if (tone.hz > farthest_listed * rate_hz) continue;
      (tone.hz > rate_hz / 2.0 ? m.inferred_components : m.components).push_back(c);
    }
  }
  for (auto* list : {&m.components, &m.inferred_components}) {
    std::stable_sort(list->begin(), list->end(),
                     [](const auto& a, const auto& b) { return a.relative > b.relative; });
  }
  m.dominant_hz = strongest->hz;
  m.dominant_hz_sd = strongest->hz_sd;
}

}  // namespace lampbeat::signal::measurement
