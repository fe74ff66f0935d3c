#include "signal/tones/aliases.hpp"

#include <algorithm>
#include <cmath>

namespace lampbeat::signal::tones {
namespace {

/// A half percent of the mean is one point of percent flicker.
constexpr double least_effect = 0.005;
/// A switched rhythm of more samples a cycle shows five harmonics below half the rate, and folds of
/// others would fall beside them.
constexpr double fewest_samples_a_cycle = 12.0;
/// Slower recorders have drivers' and dimmers' switching (up to tens of kHz) above half their rate;
/// faster than fast_recorder_hz, most of it lies below.
constexpr double slow_recorder_hz = 8000.0;
/// Below four samples a cycle of mains ripple every frequency lies near a fold.
constexpr double few_a_mains_cycle_hz = 400.0;
constexpr double slower_than_lamps_hz = 40.0;
constexpr double fast_recorder_hz = 25000.0;
/// Parts of the rate above which the third multiple of a rhythm lies above half of it.
constexpr double shows_no_third = 6.0;
/// The recorder's own filter leaves so much of the spectrum for a second multiple to show in.
constexpr double passed_by_filter = 0.95;
/// A harmonic weaker than this beside its fundamental is none.
constexpr double no_harmonic = 0.01;
/// Mains within its tolerance of every day: EN 50160 allows 1 % in Europe, American grids keep to
/// a quarter of a percent.
constexpr double mains_within = 0.01;
/// A quartz or a programmed timer stands on a multiple of 10 Hz, within its fit's uncertainty and a
/// quartz' own error of a millionth.
constexpr double round_step_hz = 10.0;
constexpr double round_within_sds = 3.0;
constexpr double round_within = 1e-6;
/// Known worse, a frequency of the mains stands on the round number by chance: mains wanders over
/// some 0.05 Hz, and three times this to either side is a quarter of it.
constexpr double round_known_to_hz = 0.002;
/// Mains wanders by ten times as much within seconds: one that does not is no mains.
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
  const bool room = 2.0 * series.tones.front().hz < passed_by_filter * rate_hz / 2.0;
  return room && second < no_harmonic * first && tones.detection_floor < no_harmonic * first;
}

bool stands_like_a_quartz(const ToneSeries& series, std::size_t place, const Sampling& sampling) {
  const double round_hz = std::round(series.fundamental_hz / round_step_hz) * round_step_hz;
  const double sd = series.fundamental_hz_sd;
  const bool round = sd < round_known_to_hz && std::abs(series.fundamental_hz - round_hz) <=
                                                   round_within_sds * sd + round_within * round_hz;
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
  if (sampling.filtered) return hz >= sampling.rate_hz / shows_no_third;
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
  // A sine spends two fifths of its cycle that near its ends (2 · acos(0.8)/π), a triangle a fifth;
  // two edges over a tenth of the cycle in all are still a switched light's.
  constexpr double near = 0.1;
  constexpr double nearly_all = 0.9;
  if (cycle.empty()) return false;
  const auto ends = std::minmax_element(cycle.begin(), cycle.end());
  const double low = *ends.first;
  const double high = *ends.second;
  const double reach = near * (high - low);
  const auto at_a_level = std::count_if(
      cycle.begin(), cycle.end(), [&](double x) { return x <= low + reach || x >= high - reach; });
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

}  // namespace lampbeat::signal::tones
