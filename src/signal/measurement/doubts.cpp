#include "signal/measurement/doubts.hpp"

#include <algorithm>
#include <cmath>
#include <utility>

#include "signal/measurement/honesty.hpp"
#include "signal/measurement/polarity.hpp"
#include "signal/tones/edge_folds.hpp"
#include "signal/tones/mains_beat.hpp"

namespace lampbeat::signal::measurement {

namespace {

constexpr double uneven_from_percent = 5.0;  ///< more than printed times are rounded by
/// A drift is worth a word from so much of the level on; of a light called steady from half of it,
/// since the word must agree with the readings' swing.
constexpr double drift_from_percent = 2.0;
constexpr double steady_drift_from_percent = 1.0;
constexpr double sds_of_a_drift = 8.0;
constexpr double half_cycles_from_percent = 0.3;
/// What the flickermeter's low-pass of 35 Hz still lets through, and deep enough to be worth a
/// longer recording.
constexpr double slow_below_hz = 40.0;
constexpr double slow_from_percent = 0.2;

void add(Findings& all, std::optional<Finding> doubt) {
  if (doubt) all.push_back(std::move(*doubt));
}

/// That there is no rhythm says so only of a recording in which one would have shown.
bool nothing_recorded(const DoubtFacts& facts) {
  const states::MeasurementTrust& trust = facts.state.trust;
  return !facts.figures.dominant_hz && !trust.unexplained && !trust.not_analysed &&
         !trust.too_short && !trust.rate_hides_mains;
}

void doubt_level(Findings& doubts, const DoubtFacts& facts) {
  const states::MeasurementTrust& trust = facts.state.trust;
  const windows::Readings& readings = facts.capture.readings;
  const double dark = facts.capture.dark_level();
  const auto n = static_cast<double>(readings.samples);
  if (trust.not_analysed) doubts.push_back(honesty::not_analysed(readings.samples));
  if (trust.no_dc) {
    doubts.push_back(nothing_recorded(facts)
                         ? honesty::nothing_recorded()
                         : honesty::no_dc_level(facts.capture.format.sound_file,
                                                !facts.figures.deepest.empty()));
  }
  if (trust.below_zero) {
    const double lowest_percent =
        100.0 * (readings.lowest - dark) / std::abs(facts.state.tones.mean);
    doubts.push_back(readings.highest < dark ? honesty::reads_only_below_zero(
                                                   facts.capture.settings.dark_level.has_value())
                                             : honesty::reads_below_zero(lowest_percent));
  }
  if (trust.clipped) {
    doubts.push_back(honesty::clipped(100.0 * static_cast<double>(readings.clipping.high) / n,
                                      100.0 * static_cast<double>(readings.clipping.low) / n));
  }
}

/// A coupled recording of many cycles that would be no light: it goes below nothing.
bool below_nothing(const DoubtFacts& facts) {
  const states::MeasurementTrust& trust = facts.state.trust;
  return facts.capture.coupled() && trust.figures() && !trust.steady &&
         !facts.figures.percent_flicker && !facts.state.epoch->figures.typical_cycle;
}

/// What an AC-coupled recording does not tell.
void doubt_path(Findings& doubts, const DoubtFacts& facts) {
  const Measurement& m = facts.figures;
  const bool told = facts.capture.settings.upright || facts.capture.format.inverted;
  if (!told && m.percent_flicker && !facts.capture.coupled() && corners_on_top(m)) {
    doubts.push_back(honesty::corners_on_top());
  }
  if (!facts.capture.coupled()) return;
  if (below_nothing(facts)) doubts.push_back(honesty::upside_down());
  if (!m.percent_flicker) return;
  const double play = facts.state.epoch->figures.response_play.percent;
  if (!facts.capture.settings.coupling_corner_hz) {
    doubts.push_back(honesty::coupling_unknown(std::sqrt(3.0) * play));
  }
  if (const auto other = percent_upside_down(facts.state, facts.capture)) {
    doubts.push_back(honesty::polarity_unknown(*m.percent_flicker, *other));
  }
}

void doubt_sampling(Findings& doubts, const DoubtFacts& facts) {
  const states::MeasurementTrust& trust = facts.state.trust;
  const ToneAnalysis& tones = facts.state.tones;
  const states::CaptureFacts& capture = facts.capture;
  const double duration_s = capture.readings.end_s;
  if (trust.one_reading) doubts.push_back(honesty::one_reading());
  if (trust.rate_hides_mains) {
    doubts.push_back(honesty::rate_hides_mains(capture.rate_hz));
    add(doubts, tones::mains_beat(tones, capture.rate_hz));
  } else if (trust.rate_too_low || trust.rate_marginal) {
    doubts.push_back(
        honesty::rate_too_low(capture.rate_hz, *facts.figures.dominant_hz, !trust.rate_too_low));
  }
  const bool no_cycle =
      trust.figures() && !trust.steady && !facts.figures.percent_flicker && !below_nothing(facts);
  const bool told_by_edges = facts.state.left.few && trust.mean();  // and said so
  if (!told_by_edges && (trust.too_short || trust.short_capture || no_cycle)) {
    const bool kept = !trust.too_short && !no_cycle;  // then only the capture's length is in doubt
    const double seconds = kept ? duration_s : trust.seconds;
    honesty::SeenFor seen{!(seconds < duration_s), seconds, {}, capture.readings.samples};
    if (trust.slowest_hz && facts.figures.dominant_hz) seen.cycles = seconds * *trust.slowest_hz;
    doubts.push_back(honesty::too_short(seen, kept));
  }
  if (!capture.readings.all_even && capture.readings.jitter_percent > uneven_from_percent) {
    doubts.push_back(honesty::uneven_sampling(capture.readings.jitter_percent));
  }
  if (!facts.state.alias_doubts.empty()) {
    const tones::AliasDoubt& doubt = facts.state.alias_doubts.front();
    doubts.push_back(honesty::alias_suspected(capture.rate_hz, doubt.seen_hz, doubt.could_be_hz));
  }
}

void doubt_rhythms(Findings& doubts, const DoubtFacts& facts) {
  const states::JudgedState& state = facts.state;
  const Measurement& m = facts.figures;
  const double mean = state.tones.mean;
  if (mean > 0.0) {
    for (const left_over::Hum& hum : state.hum) {
      doubts.push_back(
          honesty::hum_taken_out(hum.hz, 100.0 * hum.amplitude / mean, 100.0 * hum.hidden / mean));
    }
  }
  if (m.steady_below_percent) {
    doubts.push_back(honesty::steady(*m.steady_below_percent, m.steady_from_hz.value_or(0.0),
                                     facts.capture.rate_hz / 2.0));
  }
  // Of a few cycles the edges tell the rhythm; the windows saw lines that were none.
  const states::EpochFigures& windows = state.epoch->figures;
  if (windows.unrelated_rhythms > 1 && !state.left.few) {
    std::optional<double> left_out;
    // No light has more than 100 %.
    if (m.percent_flicker)
      left_out = std::min(windows.left_out_percent, 100.0 - *m.percent_flicker);
    doubts.push_back(honesty::several_rhythms(windows.unrelated_rhythms, left_out));
  }
}

void doubt_drift(Findings& doubts, const DoubtFacts& facts) {
  const states::JudgedState& state = facts.state;
  const states::EpochFigures& windows = state.epoch->figures;
  double lowest = windows.lowest_mean.value_or(0.0);
  double highest = windows.highest_mean.value_or(0.0);
  double from_percent = drift_from_percent;
  if (facts.figures.steady_below_percent) {
    lowest = std::min(lowest, state.left.drift.lowest);
    highest = std::max(highest, state.left.drift.highest);
    from_percent = steady_drift_from_percent;
  }
  if (!state.trust.mean() || !(highest > 0.0)) return;
  const double drift_percent = 100.0 * (highest - lowest) / highest;
  const double window_samples = static_cast<double>(facts.capture.readings.samples) /
                                static_cast<double>(std::max<std::size_t>(1, facts.windows));
  const double mean_sd_percent = 100.0 * state.tones.noise_sd / highest / std::sqrt(window_samples);
  // Edges that fall between other samples than before: the sampled level moves, the light's stays.
  const tones::EdgeFolds folds(state.tones, facts.capture.rate_hz,
                               window_samples / facts.capture.rate_hz);
  const double folded_percent = 100.0 * 2.0 * folds.on_level() / highest;
  if (drift_percent > std::max({from_percent, sds_of_a_drift * mean_sd_percent, folded_percent})) {
    doubts.push_back(honesty::level_drift(lowest, highest, drift_percent));
  }
}

void doubt_half_cycles(Findings& doubts, const Measurement& m) {
  for (const MeasuredComponent& c : m.components) {
    const bool leads = &c == &m.components.front();
    if (c.mains_order == 1 && c.percent && (leads || *c.percent > half_cycles_from_percent)) {
      doubts.push_back(honesty::mains_half_cycles(*c.percent, c.hz, leads));
    }
  }
}

/// Hum of the wiring is at the mains frequency; a recording of the covered sensor has told it
/// apart.
void doubt_hum(Findings& doubts, const DoubtFacts& facts) {
  constexpr double from_relative = 0.02;
  if (facts.capture.settings.dark) return;
  for (const MeasuredComponent& c : facts.figures.components) {
    const bool leads = &c == &facts.figures.components.front();
    if (c.mains_order != 1 || (leads && c.percent)) continue;  // and said so
    if (c.percent ? *c.percent > half_cycles_from_percent : c.relative > from_relative) {
      doubts.push_back(honesty::hum_suspected(c.hz, c.percent, c.relative));
    }
  }
}

void doubt_standards(Findings& doubts, const DoubtFacts& facts) {
  const Measurement& m = facts.figures;
  const double duration_s = facts.capture.readings.end_s;
  if (m.ieee) add(doubts, ieee1789_level_note(*m.ieee));
  const bool slow =
      std::any_of(m.components.begin(), m.components.end(), [](const MeasuredComponent& c) {
        return c.hz < slow_below_hz && c.percent.value_or(0.0) >= slow_from_percent;
      });
  if (m.pst_lm) {
    doubts.push_back(pst_scale_note());
  } else if (facts.state.trust.figures() && slow) {
    doubts.push_back(honesty::pst_needs_length(duration_s));
  }
  // Without low-pass percentages there is nothing whose conditions could matter.
  if (!m.lowpass_percent[Ja10CutOff::at_1000_hz]) return;
  for (Finding& finding : ja10_conditions(facts.capture.rate_hz, duration_s)) {
    doubts.push_back(std::move(finding));
  }
}

}  // namespace

Findings note_doubts(const DoubtFacts& facts) {
  Findings doubts;
  doubt_level(doubts, facts);
  doubt_path(doubts, facts);
  doubt_sampling(doubts, facts);
  doubt_rhythms(doubts, facts);
  doubt_drift(doubts, facts);
  doubts.insert(doubts.end(), facts.clock.begin(), facts.clock.end());
  doubt_half_cycles(doubts, facts.figures);
  doubt_hum(doubts, facts);
  doubt_standards(doubts, facts);
  const MeasurementSettings& settings = facts.capture.settings;
  if (!settings.dark_level && !settings.mean_level && facts.state.trust.mean()) {
    doubts.push_back(honesty::dark_level_unknown());
  }
  return doubts;
}

}  // namespace lampbeat::signal::measurement
