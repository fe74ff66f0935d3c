#include "signal/tones/aliases.hpp"

#include <algorithm>
#include <cmath>
#include <numbers>

#include <fmt/format.h>

#include "lampbeat/standards.hpp"

namespace lampbeat {
namespace {

/// A half percent of the mean is one point of percent flicker.
constexpr double least_effect = 0.005;
constexpr double fewest_samples_a_cycle = 12.0;
constexpr double slow_recorder_hz = 8000.0;
/// Below four samples a cycle of mains ripple every frequency lies near a fold.
constexpr double few_a_mains_cycle_hz = 400.0;
constexpr double slower_than_lamps_hz = 40.0;
constexpr double fast_recorder_hz = 25000.0;
/// A harmonic weaker than this beside its fundamental is none.
constexpr double no_harmonic = 0.01;
/// Mains within its tolerance of every day: EN 50160 allows 1 % in Europe, American grids keep to
/// a quarter of a percent.
constexpr double mains_within = 0.01;
constexpr double round_within_sds = 3.0;
constexpr double fastest_svm_hz = 2000.0;
constexpr double round_known_to_hz = 0.002;
constexpr double wander_known_to_hz = 2e-4;
constexpr int windows_to_wander = 4;

double strength(const ToneSeries& series) {
  double most = 0.0;
  for (const Tone& tone : series.tones) most = std::max(most, tone.amplitude);
  return most;
}

/// One tone, and nothing beside it where even a weak harmonic would have been seen.
bool lone_tone(const ToneSeries& series, const ToneAnalysis& tones, double rate_hz) {
  double second = 0.0;
  for (std::size_t i = 1; i < series.tones.size(); ++i) {
    second = std::max(second, series.tones[i].amplitude);
  }
  const double first = strength(series);
  const bool room = 2.0 * series.tones.front().hz < 0.95 * rate_hz / 2.0;
  return room && second < no_harmonic * first && tones.detection_floor < no_harmonic * first;
}

bool stands_like_a_quartz(const ToneSeries& series, std::size_t place, const Sampling& sampling) {
  const double round_hz = std::round(series.fundamental_hz / 10.0) * 10.0;
  const double sd = series.fundamental_hz_sd;
  const bool round = sd < round_known_to_hz && std::abs(series.fundamental_hz - round_hz) <=
                                                   round_within_sds * sd + 1e-6 * round_hz;
  const bool never_wanders = place == 0 && sampling.lead && !sampling.lead->wanders &&
                             sampling.windows >= windows_to_wander &&
                             sampling.lead->fundamental_hz_sd < wander_known_to_hz;
  return round || never_wanders;
}

bool doubtful(const ToneAnalysis& tones, std::size_t place, const Sampling& sampling) {
  const ToneSeries& series = tones.series[place];
  if (series.kind == SeriesKind::sideband || series.tones.empty()) return false;
  if (strength(series) < least_effect * std::abs(tones.mean)) return false;
  if (sampling.rate_hz < few_a_mains_cycle_hz) return true;
  if (series.kind == SeriesKind::mains_locked) {
    const bool like_no_lamp = sampling.two_levels || lone_tone(series, tones, sampling.rate_hz);
    return !sampling.filtered && like_no_lamp && stands_like_a_quartz(series, place, sampling);
  }
  const double hz = series.fundamental_hz;
  if (sampling.filtered) return hz >= sampling.rate_hz / 6.0;
  return hz >= sampling.rate_hz / fewest_samples_a_cycle || sampling.rate_hz < slow_recorder_hz ||
         (hz < slower_than_lamps_hz && sampling.rate_hz < fast_recorder_hz) ||
         lone_tone(series, tones, sampling.rate_hz);
}

double lowest_tone_hz(const ToneSeries& series, double rate_hz) {
  double lowest = series.tones.front().hz;
  for (const Tone& tone : series.tones) lowest = std::min(lowest, tone.hz);
  return std::min(lowest, rate_hz / 2.0);
}

}  // namespace

bool filtered_by_recorder(const CaptureFormat& format) {
  constexpr std::array rates = {8000.0,  11025.0, 16000.0, 22050.0,  24000.0,  32000.0,  44100.0,
                                48000.0, 88200.0, 96000.0, 176400.0, 192000.0, 352800.0, 384000.0};
  return format.sound_file && format.rate_hz &&
         std::find(rates.begin(), rates.end(), *format.rate_hz) != rates.end();
}

bool has_two_levels(const std::vector<double>& cycle) {
  constexpr double near = 0.1;
  constexpr double nearly_all = 0.9;
  if (cycle.empty()) return false;
  const auto [low, high] = std::minmax_element(cycle.begin(), cycle.end());
  const double reach = near * (*high - *low);
  const auto at_a_level = std::count_if(cycle.begin(), cycle.end(), [&](double x) {
    return x <= *low + reach || x >= *high - reach;
  });
  return static_cast<double>(at_a_level) >= nearly_all * static_cast<double>(cycle.size());
}

std::vector<AliasDoubt> alias_doubts(const ToneAnalysis& tones, const Sampling& sampling) {
  std::vector<AliasDoubt> doubts;
  if (!sampling.even || !(sampling.rate_hz > 0.0)) return doubts;
  for (std::size_t s = 0; s < tones.series.size(); ++s) {
    if (!doubtful(tones, s, sampling)) continue;
    const double seen = lowest_tone_hz(tones.series[s], sampling.rate_hz);
    const double rate = sampling.rate_hz;
    doubts.push_back({s, seen, {rate - seen, rate + seen, 2.0 * rate - seen}});
  }
  std::stable_sort(doubts.begin(), doubts.end(), [&](const AliasDoubt& a, const AliasDoubt& b) {
    return strength(tones.series[a.series]) > strength(tones.series[b.series]);
  });
  return doubts;
}

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
    for (double n = 1.0; doubt != doubts.end() && n * rate_hz - doubt->seen_hz <= fastest_svm_hz;
         ++n) {
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
        "if its rhythm at {:.6g} Hz is really one of {:.6g} Hz, folded down "
        "by the sampling",
        doubt.seen_hz, rate_hz + side * doubt.seen_hz);
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

}  // namespace lampbeat
