#include "signal/states/one_rhythm.hpp"

#include <algorithm>
#include <cmath>
#include <complex>
#include <iterator>
#include <optional>
#include <utility>
#include <vector>

#include "arithmetic/alias.hpp"
#include "arithmetic/phase.hpp"
#include "signal/cycle/folded_rhythm.hpp"
#include "signal/tones/line_field.hpp"
#include "signal/tones/rhythm.hpp"

namespace lampbeat::signal::states {

namespace {

/// A line of which the averaged cycle leaves less than this is the cycle's. Of a line of its own a
/// cell of eight samples takes an eighth.
constexpr double left_of_a_part = 0.3;
/// Weaker lines of a series do not decide.
constexpr double decides = 0.5;
/// Standard deviations, and bins of the window, within which a multiple is the line.
constexpr double same_sds = 4.0;
constexpr double same_bins = 0.1;
/// Of two lines so near to each other a window's averaged cycle takes a good part.
constexpr double held_apart_bins = 3.0;

/// The samples less an averaged cycle.
std::vector<double> without_cycle(const Window& light, const Rhythm& rhythm,
                                  const cycle::FoldedRhythm& folded) {
  const cycle::PhaseCurve& curve = folded.curve;
  const auto cells = static_cast<double>(curve.value.size());
  const double start = rhythm.phase_rad / arithmetic::turn;
  std::vector<double> rest(light.value.begin(), light.value.end());
  for (std::size_t i = 0; i < rest.size(); ++i) {
    const double place =
        arithmetic::begun_turn(folded.folded_with_hz * light.time_at(i) + start) * cells;
    const std::size_t c = std::min(curve.value.size() - 1, static_cast<std::size_t>(place));
    rest[i] -= curve.value[c];
    if (curve.edge[c]) continue;
    rest[i] -= curve.slope[c] * (place - static_cast<double>(c) - 0.5) / cells;
  }
  return rest;
}

double amplitude_in(const Window& light, const std::vector<double>& samples, double hz) {
  std::complex<double> sum = 0.0;
  for (std::size_t i = 0; i < samples.size(); ++i) {
    sum += samples[i] * std::polar(1.0, -arithmetic::turn * hz * light.time_at(i));
  }
  return 2.0 * std::abs(sum) / static_cast<double>(samples.size());
}

/// The tone as a multiple of a series, whose folded harmonic it may be; empty where it is none that
/// is worth naming, or might be one as well as another.
std::optional<Tone> as_multiple(Tone tone, const ToneSeries& of, const Window& light) {
  const double rate_hz = 1.0 / light.interval_s;
  const double seen_hz = arithmetic::folded_hz(tone.hz, rate_hz);
  std::optional<int> found;
  for (int order = 1; order <= tones::highest_folded_order; ++order) {
    const double play = same_sds * std::hypot(order * of.fundamental_hz_sd, tone.hz_sd) +
                        same_bins / light.duration_s();
    const double off_hz = arithmetic::folded_hz(order * of.fundamental_hz, rate_hz) - seen_hz;
    if (std::abs(off_hz) > play) continue;
    if (found) return std::nullopt;
    found = order;
  }
  if (!found) return std::nullopt;
  const double hz = *found * of.fundamental_hz;
  // Seen from the other side, it turns the other way.
  const bool turned =
      (arithmetic::alias_hz(hz, rate_hz) < 0.0) != (arithmetic::alias_hz(tone.hz, rate_hz) < 0.0);
  if (turned) tone.phase_rad = -tone.phase_rad;
  tone.hz = hz;
  tone.hz_sd = *found * of.fundamental_hz_sd;
  tone.order = *found;
  tone.beside.reset();
  return tone;
}

/// A line beside a multiple that the window does not hold apart: its beat goes with the cycle.
bool beats_slowly(const Window& light, const Tone& tone, const ToneSeries& whole) {
  const double rate_hz = 1.0 / light.interval_s;
  const double order = std::max(1.0, std::round(tone.hz / whole.fundamental_hz));
  const double off_hz = std::abs(arithmetic::folded_hz(tone.hz, rate_hz) -
                                 arithmetic::folded_hz(order * whole.fundamental_hz, rate_hz));
  const double bins = off_hz * light.duration_s();
  return bins > same_bins && bins < held_apart_bins;
}

bool is_part(const Window& light, const std::vector<double>& rest, const ToneSeries& series,
             const ToneSeries& whole) {
  const double strongest = series.tones.front().amplitude;
  return std::all_of(series.tones.begin(), series.tones.end(), [&](const Tone& tone) {
    if (tone.amplitude < decides * strongest) return true;
    // A line that cannot be named goes on being fitted by itself, lest it pull its neighbours.
    return as_multiple(tone, whole, light) && !beats_slowly(light, tone, whole) &&
           amplitude_in(light, rest, tone.hz) < left_of_a_part * tone.amplitude;
  });
}

void take_over(ToneSeries& series, const ToneSeries& part, const Window& light) {
  for (const Tone& tone : part.tones) {
    const std::optional<Tone> multiple = as_multiple(tone, series, light);
    if (!multiple) continue;
    const bool known = std::any_of(series.tones.begin(), series.tones.end(),
                                   [&](const Tone& t) { return t.order == multiple->order; });
    if (!known) series.tones.push_back(*multiple);
  }
  std::stable_sort(series.tones.begin(), series.tones.end(),
                   [](const Tone& a, const Tone& b) { return a.amplitude > b.amplitude; });
}

/// A stronger series may have any other's lines; a weaker one those of its own few-times multiple,
/// for a cycle folded on what is only an alias shows the same samples in another order.
bool may_have(const ToneSeries& whole, const ToneSeries& part, const Window& light) {
  if (whole.tones.front().amplitude >= part.tones.front().amplitude) return true;
  const double times = std::round(part.fundamental_hz / whole.fundamental_hz);
  const double off_hz = std::abs(part.fundamental_hz - times * whole.fundamental_hz);
  const double play =
      same_sds * std::hypot(times * whole.fundamental_hz_sd, part.fundamental_hz_sd) +
      same_bins / light.duration_s();
  return times > 1.0 && times <= tones::few_times && off_hz < play;
}

/// Places of the series that go with the rhythm of series `whole`.
std::vector<std::size_t> parts_of(const Window& light, const ToneAnalysis& tones,
                                  std::size_t whole) {
  ToneAnalysis one = tones;
  one.series = {tones.series[whole]};
  const tones::RhythmChoice choice = tones::choose_rhythms(one);
  if (choice.rhythms.empty()) return {};
  const auto folded = cycle::folded_rhythm(light, choice.rhythms.front());
  // Edges that slide between the samples take with them what is folded beside them.
  if (!folded || folded->slide_turns > 0.0) return {};
  const std::vector<double> rest = without_cycle(light, choice.rhythms.front(), *folded);
  std::vector<std::size_t> parts;
  for (std::size_t i = 0; i < tones.series.size(); ++i) {
    if (i == whole || !may_have(tones.series[whole], tones.series[i], light)) continue;
    if (is_part(light, rest, tones.series[i], tones.series[whole])) parts.push_back(i);
  }
  return parts;
}

std::size_t place_of(const ToneAnalysis& tones, std::size_t fundamental) {
  for (std::size_t i = 0; i < tones.series.size(); ++i) {
    if (tones.series[i].fundamental == fundamental &&
        tones.series[i].kind != SeriesKind::sideband) {
      return i;
    }
  }
  return tones.series.size();
}

}  // namespace

ToneAnalysis with_rhythms_made_one(const Window& light, ToneAnalysis found) {
  std::vector<std::size_t> rhythms;
  for (const ToneSeries& series : found.series) {
    if (series.kind != SeriesKind::sideband && !series.tones.empty()) {
      rhythms.push_back(series.fundamental);
    }
  }
  if (found.series.size() < 2) return found;
  for (const std::size_t fundamental : rhythms) {
    const std::size_t whole = place_of(found, fundamental);
    if (whole == found.series.size() || found.series.size() < 2) continue;
    std::vector<std::size_t> parts = parts_of(light, found, whole);
    if (parts.empty()) continue;
    ToneSeries all = found.series[whole];
    for (const std::size_t part : parts) take_over(all, found.series[part], light);
    const std::size_t place = std::min(whole, parts.front());
    parts.push_back(whole);
    std::sort(parts.rbegin(), parts.rend());
    for (const std::size_t part : parts) {
      found.series.erase(std::next(found.series.begin(), static_cast<std::ptrdiff_t>(part)));
    }
    found.series.insert(std::next(found.series.begin(), static_cast<std::ptrdiff_t>(place)), all);
  }
  return found;
}

}  // namespace lampbeat::signal::states
