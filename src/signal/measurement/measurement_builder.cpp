#include "signal/measurement/measurement_builder.hpp"

#include <fmt/format.h>
#include <tbb/parallel_invoke.h>
#include <tbb/task_arena.h>

#include <algorithm>
#include <cmath>
#include <iterator>
#include <utility>

#include "lampbeat/error.hpp"
#include "lampbeat/version.hpp"
#include "signal/left_over/hum.hpp"
#include "signal/measurement/clock_verdict.hpp"
#include "signal/measurement/judged_states.hpp"
#include "signal/measurement/lost_level.hpp"
#include "signal/measurement/over_time.hpp"
#include "signal/measurement/response_play.hpp"
#include "signal/measurement/switched_cycle.hpp"
#include "signal/measurement/window_cycle.hpp"

namespace lampbeat::signal::measurement {

namespace {

/// A reading strays from this many of a converter's steps on.
constexpr double steps_of_a_stray = 4.0;
/// Windows of one state in which a lost level is looked for: each folds three times.
constexpr int most_reaches = 4;

void require_positive(const std::optional<double>& given, const char* what) {
  if (given && !(*given > 0.0 && std::isfinite(*given))) {
    throw UsageError(fmt::format("{} must be greater than 0, not {:g}", what, *given));
  }
}

/// Does each of them, side by side where there are threads for it; the last, which is the caller's
/// own, always on its thread, whose memory its arrays then reuse. None of another capture's work
/// comes in between: it would keep this window waiting.
template <typename... Work>
void side_by_side(const Work&... work) {
  tbb::this_task_arena::isolate([&] { tbb::parallel_invoke(work...); });
}

void append(Findings& all, Findings more) {
  std::move(more.begin(), more.end(), std::back_inserter(all));
}

}  // namespace

MeasurementBuilder::MeasurementBuilder(const CaptureFormat& format,
                                       const MeasurementSettings& settings)
    : format_(format),
      settings_(settings),
      response_{settings.sensor_corner_hz, settings.coupling_corner_hz},
      states_(settings.mains_hz),
      slow_flicker_(!settings.mean_level) {
  require_positive(settings.mean_level, "the mean level");
  require_positive(settings.sensor_corner_hz, "the sensor's corner frequency");
  require_positive(settings.coupling_corner_hz, "the coupling's corner frequency");
}

void MeasurementBuilder::add(const windows::PlacedWindow& placed) {
  const Window with_hum = as_light(placed.window);
  const auto read = [&] {
    windows::count(readings_, placed, format_, dark_level());
    slow_flicker_.feed(with_hum);
  };
  if (placed.kind != windows::StretchKind::light) {
    measure_waiting();
    read();
    train_.add(with_hum, placed.start_s, pulses::two_levels(with_hum));
    leave_out(placed, with_hum);
    return;
  }
  std::optional<states::LightStates::Followed> known;
  side_by_side(
      read, [&] { known = states_.followed(with_hum); }, [&] { measure_waiting(); });
  const ToneAnalysis seen = states_.place(placed, with_hum, left_over_, std::move(known));
  const std::vector<left_over::Hum> hum =
      settings_.dark ? left_over::hum_in(seen, *settings_.dark) : std::vector<left_over::Hum>();
  WaitingWindow& next = waiting_.emplace();
  next.start_s = placed.start_s;
  next.interval_s = with_hum.interval_s;
  if (hum.empty()) {
    next.value.assign(with_hum.value.begin(), with_hum.value.end());
  } else {
    next.value = left_over::hum_taken_out(with_hum, seen, hum);
  }
  next.time_s.assign(with_hum.time_s.begin(), with_hum.time_s.end());
  next.tones = left_over::without_hum(seen, hum);
  next.least_stray = steps_of_a_stray * readings_.step.value_or(0.0);
  next.level_lost = !settings_.coupling_corner_hz && states::loses_level(readings_, settings_);
}

void MeasurementBuilder::measure_waiting() {
  if (!waiting_) return;
  latest_ = measure(*waiting_);
  append(windows_, *latest_);
  waiting_.reset();
}

WindowFigures MeasurementBuilder::measure(const WaitingWindow& window) {
  const Window light = window.light();
  const double start_s = window.start_s;
  const ToneAnalysis& tones = window.tones;
  clock_.add(tones);
  states::Epoch& state = states_.current();
  tones::RhythmChoice choice = tones::choose_rhythms(tones);
  const cycle::WindowTime time{start_s, light.duration_s()};
  if (!choice.rhythms.empty()) {
    choice.rhythms.front() = state.expected(choice.rhythms.front(), time);
  }
  const std::optional<pulses::TwoLevels> levels = pulses::two_levels(light);
  const pulses::WindowPulses pulses = train_.add(light, start_s, levels);
  WindowCycle cycle;
  side_by_side([&] { rest_.find(light, start_s, tones, choice, window.least_stray); },
               [&] { states::add_low_pass(state.figures, light, choice.rhythms); },
               [&] { cycle = cycle_in(light, choice, state.lead_cells()); });
  const bool by_levels = cycle.figures && levels && levels_are_all(light, *levels, tones);
  if (by_levels) {
    read_from_levels(*cycle.figures, *levels);
    // Nor is there one fold where two series were found, as where samples meet a cycle's harmonics.
    const bool no_fold = pulses.stray || choice.rhythms.size() > 1;
    const auto on = no_fold ? pulses::on_share(light, *levels, pulses) : std::nullopt;
    if (on) read_from_on_share(*cycle.figures, *levels, *on);
  } else if (cycle.figures && levels && cycle.leading && choice.rhythms.size() == 1) {
    widen_by_swing(*cycle.figures, *levels, cycle.leading->curve);
  }
  if (cycle.leading) state.add_fold(*cycle.leading, choice.rhythms.front(), choice, time);
  states::add_choice(state.figures, choice, tones.mean);
  states::add_rhythms(state.figures, cycle.rhythms);
  if (cycle.figures) {
    if (!state.figures.typical_cycle) {
      state.figures.response_play =
          response_play(light, *cycle.figures, choice, {response_, window.level_lost});
    }
    states::add_cycle(state.figures, *cycle.figures, choice.rhythms.front().hz, start_s);
    state.figures.levels.add(by_levels ? &*levels : nullptr);
  }

  if (!settings_.mean_level && state.figures.reaches < most_reaches) {
    const SignalPath path{response_, !settings_.coupling_corner_hz};
    const auto reach = reach_of(light, tones, choice, path);
    if (reach) states::add_reach(state.figures, *reach);
  }

  left_over_.add(light, start_s, rest_);
  if (state.left_over) state.left_over->add(light, start_s, rest_);

  WindowFigures figures;
  figures.start_s = start_s;
  figures.duration_s = light.duration_s();
  figures.mean = tones.mean;
  if (cycle.figures) {
    figures.percent_flicker = cycle.figures->percent_flicker;
    figures.flicker_index = cycle.figures->flicker_index;
  }
  if (const Tone* strongest = tones::strongest_tone(tones)) figures.dominant_hz = strongest->hz;
  states::add_window(state.figures, figures);
  return figures;
}

void MeasurementBuilder::leave_out(const windows::PlacedWindow& placed, const Window& light) {
  states_.close_first(left_over_);
  left_over_.pass_over(light, placed.start_s);
  if (placed.kind != windows::StretchKind::disturbance) return;
  ++disturbances_.count;
  const double seconds = light.duration_s();
  if (seconds <= disturbances_.longest.seconds()) return;
  disturbances_.longest = {placed.start_s, placed.start_s + seconds};
  const auto [low, high] = std::minmax_element(light.value.begin(), light.value.end());
  disturbances_.lowest = *low;
  disturbances_.highest = *high;
}

Window MeasurementBuilder::as_light(const Window& raw) {
  double shift = -dark_level();
  if (response_.flat()) {
    if (shift == 0.0 && !settings_.mean_level) return raw;
    shifted_.assign(raw.value.begin(), raw.value.end());
  } else {
    shifted_ = sensor::undone(raw, response_);
  }
  if (settings_.mean_level) {
    double sum = 0.0;
    for (const double x : shifted_) sum += x;
    shift = *settings_.mean_level - sum / static_cast<double>(raw.size());
  }
  for (double& x : shifted_) x += shift;
  Window light = raw;
  light.value = shifted_;
  return light;
}

Measurement MeasurementBuilder::result(const Findings& source_findings) {
  measure_waiting();
  windows::refuse_useless(readings_, format_);
  const double level = states_.level();
  std::vector<states::Epoch> epochs = states_.release();
  const states::CaptureFacts capture{format_,
                                     settings_,
                                     readings_,
                                     left_over_.extremes(),
                                     response_,
                                     windows::mean_rate_hz(readings_, format_).value_or(0.0),
                                     slow_flicker_.pst(),
                                     train_.straying(epochs.size() == 1)};
  const std::vector<states::JudgedState> states = judged_states(epochs, level, left_over_, capture);
  const std::size_t shown = states::shown_state(states);
  const states::JudgedState& state = states[shown];
  Measurement m = state.figures;
  if (states.size() > 1) states::take_worst(m, states, shown);
  const ClockVerdict clock = judge_clocks(state.tones, state.epoch->lead_frequency(), clock_);
  m.clock_spread_percent = clock.free_spread_percent;
  // From window to window a clock that strays from pulse to pulse averages out.
  if (capture.pulses && m.clock_spread_percent) {
    m.clock_spread_percent = std::max(*m.clock_spread_percent, 100.0 * capture.pulses->stray);
  }
  if (!state.alias_doubts.empty() && state.trust.mean() && !state.trust.frequency_only) {
    m.other_readings =
        tones::alias_readings(state.tones, state.alias_doubts.front(), capture.rate_hz);
  }
  m.warnings = source_findings;
  append(m.warnings, note_changes(states, states_.forgotten(), disturbances_));
  append(m.warnings, note_left_over(state, m));
  append(m.warnings, note_doubts({capture, state, m, clock.doubts, windows_.size()}));
  m.over_time = over_time(windows_, states);
  m.set_up = {settings_.dark_level, settings_.mean_level, settings_.coupling_corner_hz,
              settings_.sensor_corner_hz};
  m.version = measurement_version;
  return m;
}

}  // namespace lampbeat::signal::measurement
