#include "signal/measurement/judged_states.hpp"

#include <algorithm>
#include <optional>
#include <utility>

#include "signal/measurement/components.hpp"
#include "signal/measurement/deepest.hpp"
#include "signal/measurement/left_over_verdict.hpp"
#include "signal/measurement/state_measures.hpp"
#include "signal/measurement/switched_cycle.hpp"
#include "signal/states/states_alike.hpp"
#include "signal/states/whole_cycle.hpp"
#include "signal/tones/aliases.hpp"
#include "signal/tones/rhythm.hpp"
#include "signal/tones/tone_series.hpp"

namespace lampbeat::signal::measurement {

namespace {

/// A slower beat, and each swing is a stretch somebody would call a state.
constexpr double slowest_beat_hz = 0.5;

/// Whether all its windows show is slower than a handful of their own cycles: irregular slow light
/// looks like that in one window and otherwise in the next.
bool only_slow(const states::Epoch& epoch) {
  constexpr double handful = 5.0;
  if (epoch.steady() || epoch.windows() == 0) return false;
  for (const ToneSeries& series : epoch.first().series) {
    for (const Tone& tone : series.tones) {
      if (tone.hz >= course::slow_rhythms_below_hz) return false;
    }
  }
  const double window_s = epoch.seconds() / epoch.windows();
  return tones::strongest_tone(epoch.first())->hz * window_s < handful;
}

std::vector<tones::AliasDoubt> folding_doubts(const states::JudgedState& state,
                                              const states::CaptureFacts& capture) {
  if (state.trust.rate_hides_mains) return {};
  const auto& cycle = state.figures.cycle;
  const tones::Sampling sampling{capture.rate_hz,
                                 capture.readings.on_grid,
                                 tones::filtered_by_recorder(capture.format),
                                 cycle && tones::has_two_levels(cycle->shape),
                                 state.epoch->lead_frequency(),
                                 state.epoch->windows()};
  return tones::alias_doubts(state.tones, sampling);
}

std::vector<LightState> readings_at_deepest(const states::Epoch& epoch, bool only_one,
                                            const left_over::LeftOverAccount& account,
                                            const states::CaptureFacts& capture);

/// One state by itself. `only_one`: all of the capture is of it. `deepest`: how far below the mean
/// that its windows lost it is assumed to go.
states::JudgedState judged(const states::Epoch& epoch, bool only_one,
                           const left_over::LeftOverAccount& account,
                           const states::CaptureFacts& capture,
                           const states::SideReach* deepest = nullptr) {
  states::JudgedState state;
  state.epoch = &epoch;
  state.samples =
      only_one ? static_cast<double>(capture.readings.samples) : epoch.seconds() * capture.rate_hz;
  ToneAnalysis in_windows =
      capture.pulses ? with_pulses_counted(epoch.whole(), *capture.pulses) : epoch.whole();
  if (deepest) in_windows = as_deep(std::move(in_windows), *deepest);
  state.left = left_over_beside(account, in_windows.mean, capture);
  if (capture.settings.dark) state.hum = left_over::hum_in(in_windows, *capture.settings.dark);
  state.tones = states::with_whole_capture(left_over::without_hum(in_windows, state.hum),
                                           state.left, tones::fundamentals_in(in_windows));
  const states::StateExtent extent =
      only_one ? states::StateExtent{capture.readings.end_s,
                                     capture.readings.mean() - capture.dark_level()}
               : states::StateExtent{epoch.seconds(), state.tones.mean};
  state.trust = states::trust_in(capture, extent, state.tones);
  judge_left_over(state, capture);
  describe_capture(state.figures, capture);
  relate_components(state.figures, state.tones, state.trust, capture);
  if (capture.pulses) count_pulses(state.figures, *capture.pulses);
  take_levels(state.figures, state, capture);
  take_steadiness(state.figures, state);
  take_cycle(state.figures, state, capture);
  take_slow_cycle(state.figures, state, capture);
  take_unexplained(state.figures, state, capture);
  state.alias_doubts = folding_doubts(state, capture);
  take_standards(state.figures, state, capture);
  if (state.trust.no_dc && !state.tones.series.empty()) {
    state.figures.deepest = readings_at_deepest(epoch, only_one, account, capture);
  }
  return state;
}

/// The light of a state that lost its mean, as deep as its waveform can be: dark at its darkest
/// moment. Without a waveform none.
std::vector<LightState> readings_at_deepest(const states::Epoch& epoch, bool only_one,
                                            const left_over::LeftOverAccount& account,
                                            const states::CaptureFacts& capture) {
  const std::optional<states::Reach>& reach = epoch.figures.reach;
  if (!reach) return {};
  MeasurementSettings settings = capture.settings;
  settings.mean_level = reach->below.distance;
  const states::CaptureFacts with_mean{capture.format,   settings,         capture.readings,
                                       capture.extremes, capture.response, capture.rate_hz,
                                       std::nullopt,     capture.pulses};
  const states::JudgedState deepest = judged(epoch, only_one, account, with_mean, &reach->below);
  std::vector<LightState> readings = {as_reading(deepest.figures, "")};
  if (readings.front().components.empty()) return {};
  if (!deepest.alias_doubts.empty()) {
    for (LightState& other :
         tones::alias_readings(deepest.tones, deepest.alias_doubts.front(), capture.rate_hz)) {
      readings.push_back(std::move(other));
    }
  }
  const bool told = settings.upright || capture.format.inverted;
  if (told || !may_be_upside_down(deepest.figures, *reach)) return readings;
  const std::size_t upright = readings.size();
  for (std::size_t i = 0; i < upright; ++i) readings.push_back(upside_down(readings[i], *reach));
  return readings;
}

/// The state that carries a rhythm so slow that its swings look like states; empty without one.
std::optional<states::JudgedState> slowly_beating(const std::vector<states::Epoch>& epochs,
                                                  double level,
                                                  const left_over::LeftOverAccount& whole,
                                                  const states::CaptureFacts& capture) {
  if (epochs.size() < 2) return std::nullopt;
  const left_over::LeftOver left = left_over_beside(whole, level, capture);
  const std::optional<double> hz = left.slow  ? std::optional(left.slow->rhythm.hz)
                                   : left.few ? left.few->hz
                                              : std::nullopt;
  if (hz < slowest_beat_hz) return std::nullopt;
  // Its fast rhythms are those of the brighter swings.
  const auto brightest = std::max_element(
      epochs.begin(), epochs.end(),
      [](const states::Epoch& a, const states::Epoch& b) { return a.level() < b.level(); });
  return judged(*brightest, false, whole, capture);
}

/// A joined state by the account of the whole capture or, where that has more irregular light, by
/// its own: irregular light is not made less by the calm seconds beside it.
states::JudgedState judged_joined(const states::Epoch& epoch, bool only_one,
                                  const left_over::LeftOverAccount& whole,
                                  const states::CaptureFacts& capture) {
  states::JudgedState state = judged(epoch, only_one, whole, capture);
  if (!epoch.joined() || !epoch.left_over) return state;
  states::JudgedState alone = judged(epoch, only_one, *epoch.left_over, capture);
  const auto irregular = [](const states::JudgedState& s) {
    return s.figures.unexplained_percent.value_or(0.0);
  };
  return irregular(alone) > irregular(state) ? alone : state;
}

std::vector<states::JudgedState> each_judged(const std::vector<states::Epoch>& epochs,
                                             const left_over::LeftOverAccount& whole,
                                             const states::CaptureFacts& capture) {
  std::vector<const states::Epoch*> seen;
  for (const states::Epoch& epoch : epochs) {
    if (!only_slow(epoch)) seen.push_back(&epoch);
  }
  // What only the course of the whole capture can tell is no state by itself.
  const bool course_tells = capture.readings.end_s >= left_over::least_course_s && !seen.empty();
  if (!course_tells) {
    seen.clear();
    for (const states::Epoch& epoch : epochs) seen.push_back(&epoch);
  }
  std::vector<states::JudgedState> states;
  for (const states::Epoch* epoch : seen) {
    const bool own = seen.size() > 1 && epoch->left_over;
    states.push_back(own ? judged(*epoch, false, *epoch->left_over, capture)
                         : judged_joined(*epoch, epochs.size() == 1, whole, capture));
  }
  states::mark_dark(states);
  return states;
}

/// Makes one state of those that say the same and of those a beat goes through.
void join_alike(std::vector<states::Epoch>& epochs, const std::vector<states::JudgedState>& states,
                double rate_hz) {
  const std::vector<std::size_t> joined = states::states_alike(states, rate_hz);
  const auto index_of = [&](std::size_t state) {
    return static_cast<std::size_t>(states[state].epoch - epochs.data());
  };
  std::vector<std::size_t> gone;
  for (std::size_t i = 0; i < joined.size(); ++i) {
    if (joined[i] == i) continue;
    epochs[index_of(joined[i])].absorb(*states[i].epoch);
    gone.push_back(index_of(i));
  }
  std::sort(gone.rbegin(), gone.rend());
  for (const std::size_t i : gone) epochs.erase(epochs.begin() + static_cast<std::ptrdiff_t>(i));
}

}  // namespace

std::vector<states::JudgedState> judged_states(std::vector<states::Epoch>& epochs, double level,
                                               const left_over::LeftOverAccount& whole,
                                               const states::CaptureFacts& capture) {
  std::vector<states::JudgedState> states;
  if (auto slow = slowly_beating(epochs, level, whole, capture)) {
    states.push_back(std::move(*slow));
    return states;
  }
  states = each_judged(epochs, whole, capture);
  if (states.size() == 1) return states;
  join_alike(epochs, states, capture.rate_hz);
  return each_judged(epochs, whole, capture);
}

}  // namespace lampbeat::signal::measurement
