#include <algorithm>
#include <cmath>

#include "signal/measurement/honesty.hpp"
#include "signal/measurement/measurement_builder.hpp"
#include "signal/tones/aliases.hpp"
#include "signal/tones/mains_beat.hpp"

// What the data support, and every doubt that is said about a result.

namespace lampbeat {

namespace {

constexpr double slowest_useful_rate_hz = 400.0;   ///< four samples a cycle of 100 Hz light
constexpr double slowest_telling_rate_hz = 202.0;  ///< twice 100 Hz, with the mains a percent high
constexpr double fewest_samples_a_cycle = 5.0;
constexpr double good_samples_a_cycle = 12.0;
constexpr double fewest_cycles = 3.0;
constexpr double good_duration_s = 0.999;
constexpr double uneven_from_percent = 5.0;
constexpr double drift_from_percent = 2.0;
constexpr double steady_drift_from_percent = 1.0;
constexpr double wander_from_hz = 0.005;
constexpr double half_cycles_from_percent = 0.3;
constexpr double slow_below_hz = 40.0;
constexpr double slow_from_percent = 0.2;

}  // namespace

MeasurementTrust MeasurementBuilder::trust_in(const Epoch& epoch, const ToneAnalysis& tones) const {
  MeasurementTrust trust;
  const double dark = settings_.dark_level.value_or(0.0);
  const double swing = highest_ - lowest_;
  const bool only_one = epochs_.size() == 1;
  const double mean = only_one ? sum_ / static_cast<double>(samples_) - dark : tones.mean;
  const double seconds = only_one ? end_s_ : epoch.seconds();
  if (!settings_.mean_level) {
    const double noise = 6.0 * tones.noise_sd;
    trust.below_zero = highest_ - dark < 0.0;
    const bool negative = lowest_ - dark + noise < -0.005 * std::max(highest_ - dark, 0.0);
    const bool around_zero = mean <= 0.03 * swing && negative;
    const Tone* strongest = strongest_tone(tones);
    const double least = strongest ? 3.0 * tones.noise_sd / std::sqrt(static_cast<double>(samples_))
                                   : tones.noise_sd;
    // No light, however short its flashes, has a rhythm stronger than twice its mean.
    const bool impossible =
        strongest && strongest->amplitude > 2.0 * mean + 6.0 * strongest->amplitude_sd + least;
    trust.no_dc = !trust.below_zero && (around_zero || impossible || mean <= least);
    trust.below_zero = negative && !trust.no_dc;
  }
  trust.clipped = clipping_.high + clipping_.low > 0;
  trust.not_analysed = !tones.analysed;
  trust.steady = tones.analysed && tones.series.empty();
  const double rate_hz = mean_rate_hz();
  // Between twice the light's frequency and four times it a rhythm shows its frequency, not its
  // shape; where none shows, one at half the rate may be there all the same.
  const Tone* seen = strongest_tone(tones);
  trust.frequency_only = rate_hz < slowest_useful_rate_hz && rate_hz > slowest_telling_rate_hz &&
                         seen != nullptr && seen->hz > 40.0;
  trust.rate_hides_mains = rate_hz < slowest_useful_rate_hz && !trust.frequency_only;
  trust.short_capture = end_s_ < good_duration_s;
  if (const Tone* strongest = strongest_tone(tones)) {
    const RhythmChoice choice = choose_rhythms(tones);
    double slowest_hz = choice.rhythms.empty() ? strongest->hz : choice.rhythms.front().hz;
    for (const Rhythm& rhythm : choice.rhythms) slowest_hz = std::min(slowest_hz, rhythm.hz);
    trust.rate_too_low = rate_hz < fewest_samples_a_cycle * strongest->hz;
    trust.rate_marginal = !trust.rate_too_low && rate_hz < good_samples_a_cycle * strongest->hz;
    trust.too_short = seconds * slowest_hz < fewest_cycles;
  } else {
    trust.too_short = samples_ < 64 || (end_s_ < 0.05 && !trust.rate_hides_mains);
  }
  return trust;
}

void MeasurementBuilder::doubt_changes(Measurement& m,
                                       const std::vector<JudgedState>& states) const {
  if (states.size() > 1) {
    m.warnings.push_back(
        honesty::states_differ(states_words(states), switching_words(states), forgotten_states_));
  }
  // A lamp that blinks has been told by its rhythm.
  const JudgedState& shown = states[shown_state(states)];
  if (disturbances_.count > 0 && !shown.left.slow && !shown.left.few) {
    const double mean = shown.tones.mean;
    m.warnings.push_back(honesty::disturbed(
        disturbances_.count, disturbances_.longest.from_s, disturbances_.longest.seconds(),
        100.0 * disturbances_.lowest / mean, 100.0 * disturbances_.highest / mean));
  }
}

void MeasurementBuilder::doubt_clock(Measurement& m, const JudgedState& state) const {
  const auto free = std::find_if(
      state.tones.series.begin(), state.tones.series.end(),
      [](const ToneSeries& series) { return series.kind == SeriesKind::free_running; });
  const auto lead = state.epoch->lead_frequency();
  const bool wanders = lead && lead->wanders && lead->wander_hz > wander_from_hz;
  if (free == state.tones.series.end()) {
    if (wanders) m.warnings.push_back(honesty::frequency_wanders(lead->wander_hz));
    return;
  }
  const bool leads = free == state.tones.series.begin();
  if (!leads && wanders) m.warnings.push_back(honesty::frequency_wanders(lead->wander_hz));
  ToneAnalysis alone;
  alone.series = {*free};
  const double hz = strongest_tone(alone)->hz;
  m.clock_spread_percent = 0.0;
  if (const auto stray = clock_.about(hz)) {
    m.clock_spread_percent = 100.0 * stray->spread_hz / stray->hz;
    m.warnings.push_back(honesty::clock_wanders(stray->hz, *m.clock_spread_percent,
                                                stray->highest_hz - stray->lowest_hz));
  } else if (leads && wanders) {
    m.clock_spread_percent = 100.0 * lead->wander_hz / lead->fundamental_hz;
    m.warnings.push_back(
        honesty::clock_wanders(hz, *m.clock_spread_percent, 2.0 * lead->wander_hz));
  }
}

void MeasurementBuilder::doubt(Measurement& m, const JudgedState& state) const {
  const ToneAnalysis& tones = state.tones;
  const MeasurementTrust& trust = state.trust;
  const auto say = [&](Finding finding) { m.warnings.push_back(std::move(finding)); };
  const double rate_hz = mean_rate_hz();
  const auto n = static_cast<double>(samples_);
  if (trust.not_analysed) say(honesty::not_analysed(samples_));
  if (trust.no_dc) say(honesty::no_dc_level(format_.sound_file));
  if (trust.below_zero) {
    const double dark = settings_.dark_level.value_or(0.0);
    say(highest_ < dark
            ? honesty::reads_only_below_zero(settings_.dark_level.has_value())
            : honesty::reads_below_zero(100.0 * (lowest_ - dark) / std::abs(tones.mean)));
  }
  if (trust.clipped) {
    say(honesty::clipped(100.0 * static_cast<double>(clipping_.high) / n,
                         100.0 * static_cast<double>(clipping_.low) / n));
  }
  const double slowest_hz = [&] {
    const RhythmChoice choice = choose_rhythms(tones);
    return choice.rhythms.empty() ? 100.0 : choice.rhythms.front().hz;
  }();
  if (trust.rate_hides_mains) {
    say(honesty::rate_hides_mains(rate_hz));
    if (auto beat = mains_beat(tones, rate_hz)) say(std::move(*beat));
  } else if (trust.rate_too_low || trust.rate_marginal) {
    say(honesty::rate_too_low(rate_hz, *m.dominant_hz, !trust.rate_too_low));
  }
  const bool no_cycle = trust.figures() && !trust.steady && !m.percent_flicker;
  const bool said = std::any_of(m.warnings.begin(), m.warnings.end(),
                                [](const Finding& f) { return f.code == "too_short"; });
  if (!said && (trust.too_short || trust.short_capture || no_cycle)) {
    say(honesty::too_short(end_s_, end_s_ * slowest_hz, !trust.too_short && !no_cycle));
  }
  if (!all_even_ && jitter_percent_ > uneven_from_percent) {
    say(honesty::uneven_sampling(jitter_percent_));
  }
  if (!state.alias_doubts.empty()) {
    const AliasDoubt& doubt = state.alias_doubts.front();
    say(honesty::alias_suspected(rate_hz, doubt.seen_hz, doubt.could_be_hz));
    if (trust.mean() && !trust.frequency_only)
      m.other_readings = alias_readings(tones, doubt, rate_hz);
  }
  for (const signal::Hum& hum : state.hum) {
    if (!(tones.mean > 0.0)) break;
    say(honesty::hum_taken_out(hum.hz, 100.0 * hum.amplitude / tones.mean,
                               100.0 * hum.hidden / tones.mean));
  }
  if (m.steady_below_percent)
    say(honesty::steady(*m.steady_below_percent, m.steady_from_hz.value_or(0.0), rate_hz / 2.0));
  // Of a few cycles the edges tell the rhythm; the windows saw lines that were none.
  if (const EpochFigures& epoch = state.epoch->figures;
      epoch.unrelated_rhythms > 1 && !state.left.few) {
    say(honesty::several_rhythms(epoch.unrelated_rhythms, epoch.left_out_percent));
  }
  double lowest = state.epoch->figures.lowest_mean.value_or(0.0);
  double highest = state.epoch->figures.highest_mean.value_or(0.0);
  double drift_from = drift_from_percent;
  if (m.steady_below_percent) {  // the word must agree with the readings' swing
    lowest = std::min(lowest, state.left.drift.lowest);
    highest = std::max(highest, state.left.drift.highest);
    drift_from = steady_drift_from_percent;
  }
  const double drift_percent =
      trust.mean() && highest > 0.0 ? 100.0 * (highest - lowest) / highest : 0.0;
  const double window_samples = n / static_cast<double>(std::max<std::size_t>(1, windows_.size()));
  const double mean_sd_percent =
      highest > 0.0 ? 100.0 * tones.noise_sd / highest / std::sqrt(window_samples) : 0.0;
  if (drift_percent > std::max(drift_from, 8.0 * mean_sd_percent)) {
    say(honesty::level_drift(lowest, highest, drift_percent));
  }
  doubt_clock(m, state);
  for (const MeasuredComponent& c : m.components) {
    const bool leads = &c == &m.components.front();
    if (c.mains_order == 1 && c.percent && (leads || *c.percent > half_cycles_from_percent)) {
      say(honesty::mains_half_cycles(*c.percent, c.hz, leads));
    }
  }
  if (!response_.flat()) say(honesty::from_components());
  if (m.ieee) {
    if (auto note = ieee1789_level_note(*m.ieee)) say(std::move(*note));
  }
  if (m.pst_lm) {
    say(pst_scale_note());
  } else if (trust.figures() && std::any_of(m.components.begin(), m.components.end(), [](auto& c) {
               return c.hz < slow_below_hz && c.percent.value_or(0.0) >= slow_from_percent;
             })) {
    say(honesty::pst_needs_length(end_s_));
  }
  // Without low-pass percentages there is nothing whose conditions could matter.
  if (m.lowpass_percent[Ja10CutOff::at_1000_hz]) {
    for (Finding& finding : ja10_conditions(rate_hz, end_s_)) say(std::move(finding));
  }
  if (!settings_.dark_level && trust.mean() && !settings_.mean_level) {
    say(honesty::dark_level_unknown());
  }
}

}  // namespace lampbeat
