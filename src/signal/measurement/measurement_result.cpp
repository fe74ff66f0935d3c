#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <numbers>

#include "lampbeat/error.hpp"
#include "signal/course/whole_cycle.hpp"
#include "signal/cycle/reconstruction.hpp"
#include "signal/measurement/honesty.hpp"
#include "signal/measurement/measurement_builder.hpp"
#include "signal/states/rhythm_percents.hpp"
#include "signal/states/state_figures.hpp"
#include "signal/states/states_alike.hpp"

// The second half of the builder: from sums and lists to figures, each given or withheld.

namespace lampbeat {

namespace {

constexpr double largest_reading = 1e100;  ///< beyond these, squares overflow
constexpr double smallest_reading = 1e-100;

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

/// Whether all its windows show is slower than a handful of their own cycles: irregular slow light
/// looks like that in one window and otherwise in the next.
bool only_slow(const Epoch& epoch) {
  constexpr double handful = 5.0;
  if (epoch.steady() || epoch.windows() == 0) return false;
  for (const ToneSeries& series : epoch.first().series) {
    for (const Tone& tone : series.tones) {
      if (tone.hz >= signal::slow_rhythms_below_hz) return false;
    }
  }
  const double window_s = epoch.seconds() / epoch.windows();
  return strongest_tone(epoch.first())->hz * window_s < handful;
}

}  // namespace

MeasuredCycle measured_cycle(const CycleFigures& cycle, double hz) {
  MeasuredCycle measured{hz, {}};
  for (const double x : cycle.shape) measured.shape.push_back(x / cycle.mean);
  return measured;
}

double MeasurementBuilder::mean_rate_hz() const {
  if (format_.evenly_sampled && format_.rate_hz) return *format_.rate_hz;
  return end_s_ > 0.0 ? static_cast<double>(samples_) / end_s_ : 0.0;
}

double MeasurementBuilder::samples_of(const Epoch& epoch) const {
  return epochs_.size() == 1 ? static_cast<double>(samples_) : epoch.seconds() * mean_rate_hz();
}

Measurement MeasurementBuilder::result(const Findings& source_findings) {
  refuse_useless();
  if (epochs_.empty()) epochs_.emplace_back(ToneAnalysis{}, 0.0);
  std::vector<JudgedState> states;
  if (auto slow = slowly_beating()) {
    states.push_back(std::move(*slow));
  } else {
    states = judged_states();
    if (states.size() > 1) {
      join_states_alike(states);
      states = judged_states();
    }
  }
  const std::size_t shown = shown_state(states);
  Measurement m = states[shown].figures;
  if (states.size() > 1) take_worst(m, states, shown);
  m.warnings = source_findings;
  doubt_changes(m, states);
  doubt_left_over(m, states[shown]);
  doubt(m, states[shown]);
  m.over_time = over_time(states);
  return m;
}

void MeasurementBuilder::refuse_useless() const {
  if (samples_ < 2) {
    throw InputError(
        fmt::format("{}: holds {} sample{}; a measurement needs at least two, better "
                    "one second of them",
                    format_.name, samples_, samples_ == 1 ? "" : "s"));
  }
  const double largest = std::max(std::abs(lowest_), std::abs(highest_));
  if (largest > largest_reading || (largest > 0.0 && largest < smallest_reading)) {
    throw InputError(fmt::format(
        "{}: the readings reach {:g}, which no sensor gives; see whether the right column is read "
        "and the file is whole",
        format_.name, lowest_ < -highest_ ? lowest_ : highest_));
  }
}

JudgedState MeasurementBuilder::judged(const Epoch& epoch,
                                       const signal::LeftOverAccount& account) const {
  JudgedState state;
  state.epoch = &epoch;
  const ToneAnalysis in_windows = undo(response_, epoch.whole());
  state.left = left_over_in(account, in_windows.mean);
  if (settings_.dark) state.hum = signal::hum_in(in_windows, *settings_.dark);
  state.tones = signal::with_whole_capture(signal::without_hum(in_windows, state.hum), state.left);
  state.trust = trust_in(epoch, state.tones);
  judge_left_over(state);
  describe_capture(state.figures);
  relate_components(state.figures, state.tones, state.trust);
  take_figures(state.figures, state);
  take_left_over(state.figures, state);
  state.alias_doubts = folding_doubts(state);
  judge_by_standards(state.figures, state);
  return state;
}

std::optional<JudgedState> MeasurementBuilder::slowly_beating() const {
  // Slower, and each swing is a stretch somebody would call a state.
  constexpr double slowest_beat_hz = 0.5;
  if (epochs_.size() < 2) return std::nullopt;
  const signal::LeftOver left = left_over_in(left_over_, epochs_[current_].level());
  const double hz = left.slow ? left.slow->rhythm.hz : left.few ? left.few->hz.value_or(0.0) : 0.0;
  if (hz < slowest_beat_hz) return std::nullopt;
  // Its fast rhythms are those of the brighter swings.
  const auto brightest =
      std::max_element(epochs_.begin(), epochs_.end(),
                       [](const Epoch& a, const Epoch& b) { return a.level() < b.level(); });
  return judged(*brightest, left_over_);
}

std::vector<JudgedState> MeasurementBuilder::judged_states() const {
  std::vector<JudgedState> states;
  std::vector<const Epoch*> seen;
  for (const Epoch& epoch : epochs_) {
    if (!only_slow(epoch)) seen.push_back(&epoch);
  }
  // What only the course of the whole capture can tell is no state by itself.
  const bool course_tells = end_s_ >= signal::least_course_s && !seen.empty();
  if (!course_tells) {
    seen.clear();
    for (const Epoch& epoch : epochs_) seen.push_back(&epoch);
  }
  for (const Epoch* epoch : seen) {
    const bool own = seen.size() > 1 && epoch->left_over;
    states.push_back(judged(*epoch, own ? *epoch->left_over : left_over_));
    if (own || !epoch->joined() || !epoch->left_over) continue;
    // Irregular light is not made less by the calm seconds beside it.
    JudgedState alone = judged(*epoch, *epoch->left_over);
    const auto irregular = [](const JudgedState& state) {
      return state.figures.unexplained_percent.value_or(0.0);
    };
    if (irregular(alone) > irregular(states.back())) states.back() = std::move(alone);
  }
  mark_dark(states);
  return states;
}

void MeasurementBuilder::join_states_alike(const std::vector<JudgedState>& states) {
  const std::vector<std::size_t> joined = states_alike(states, mean_rate_hz());
  const auto index_of = [&](std::size_t state) {
    return static_cast<std::size_t>(states[state].epoch - epochs_.data());
  };
  std::vector<std::size_t> gone;
  for (std::size_t i = 0; i < joined.size(); ++i) {
    if (joined[i] == i) continue;
    epochs_[index_of(joined[i])].absorb(*states[i].epoch);
    gone.push_back(index_of(i));
  }
  std::sort(gone.rbegin(), gone.rend());
  for (const std::size_t i : gone) epochs_.erase(epochs_.begin() + static_cast<std::ptrdiff_t>(i));
  current_ = 0;
}

TimeResolved MeasurementBuilder::over_time(const std::vector<JudgedState>& states) const {
  TimeResolved course;
  course.windows = windows_;
  for (const JudgedState& state : states) {
    const bool judged = !state.dark && state.trust.figures() && !state.trust.steady &&
                        !state.left.few && !state.left.slow;
    const EpochFigures& figures = state.epoch->figures;
    if (judged && !figures.percents.empty() &&
        figures.percents.highest() > course.worst_percent_flicker.value_or(0.0)) {
      course.worst_percent_flicker = std::min(100.0, figures.percents.highest());
      course.median_percent_flicker = std::min(100.0, figures.percents.median());
      course.worst_start_s = figures.worst_percent_start_s;
    }
    if (judged) continue;
    for (WindowFigures& w : course.windows) {
      if (!state.epoch->covers(w.start_s)) continue;
      w.percent_flicker.reset();
      w.flicker_index.reset();
    }
  }
  return course;
}

void MeasurementBuilder::describe_capture(Measurement& m) const {
  m.capture = format_.name;
  m.capture_kind = format_.kind;
  m.samples = samples_;
  m.duration_s = end_s_;
  if (mean_rate_hz() > 0.0) m.rate_hz = mean_rate_hz();
}

void MeasurementBuilder::relate_components(Measurement& m, const ToneAnalysis& tones,
                                           const MeasurementTrust& trust) const {
  if (trust.rate_hides_mains) return;
  const Tone* strongest = strongest_tone(tones);
  for (const ToneSeries& series : tones.series) {
    if (series.kind == SeriesKind::mains_locked && !m.mains_hz) m.mains_hz = series.fundamental_hz;
    for (const Tone& tone : series.tones) {
      MeasuredComponent c;
      c.hz = tone.hz;
      c.hz_sd = tone.hz_sd;
      c.relative = tone.amplitude / strongest->amplitude;
      if (trust.mean() && !trust.frequency_only && tones.mean > 0.0) {
        c.percent = 100.0 * tone.amplitude / tones.mean;
        c.percent_sd = 100.0 * tone.amplitude_sd / tones.mean;
      }
      c.phase_deg = std::remainder(tone.phase_rad * 180.0 / std::numbers::pi, 360.0);
      if (series.kind == SeriesKind::mains_locked) c.mains_order = tone.order;
      c.kind = kind_of(series.kind);
      (tone.hz > mean_rate_hz() / 2.0 ? m.inferred_components : m.components).push_back(c);
    }
  }
  for (auto* list : {&m.components, &m.inferred_components}) {
    std::stable_sort(list->begin(), list->end(),
                     [](const auto& a, const auto& b) { return a.relative > b.relative; });
  }
  if (strongest) {
    m.dominant_hz = strongest->hz;
    m.dominant_hz_sd = strongest->hz_sd;
  }
}

void MeasurementBuilder::take_figures(Measurement& m, const JudgedState& state) const {
  const MeasurementTrust& trust = state.trust;
  const ToneAnalysis& tones = state.tones;
  const EpochFigures& figures = state.epoch->figures;
  const double dark = settings_.dark_level.value_or(0.0);
  const double mean = settings_.mean_level.value_or(sum_ / static_cast<double>(samples_) - dark);
  if (trust.mean()) m.mean = mean;
  if (trust.mean() && !trust.too_short && tones.mean > 0.0)
    m.noise_percent = 100.0 * tones.noise_sd / tones.mean;
  if (!trust.no_dc && !trust.below_zero) {
    const double shift =
        settings_.mean_level ? *settings_.mean_level - sum_ / static_cast<double>(samples_) : -dark;
    const double high = highest_ + shift;
    const double low = lowest_ + shift;
    if (high + low > 0.0) m.percent_flicker_raw = 100.0 * (high - low) / (high + low);
  }
  if (trust.steady && !trust.unexplained && trust.mean() && !trust.rate_hides_mains &&
      !trust.too_short && tones.mean > 0.0) {
    double hidden = std::max(tones.detection_floor, figures.strongest_doubtful);
    for (const signal::Hum& hum : state.hum) hidden = std::max(hidden, hum.hidden);
    // Noise that ends at a corner is the sensor's by all likelihood, not by proof.
    hidden = std::max(hidden, std::sqrt(state.left.noise.rolled.power()));
    m.steady_below_percent = 100.0 * hidden / tones.mean;
  }
  if (!trust.figures()) return;

  if (!figures.percents.empty() && !trust.steady && figures.windows_with_cycle > 0) {
    // Light cannot go below nothing: what noise adds beyond 100 % is not the light's.
    const double n = figures.windows_with_cycle;
    m.percent_flicker = std::min(
        100.0, of_windows(figures.percents, std::sqrt(figures.percent_flicker_variance / n)));
    m.flicker_index = of_windows(figures.indices, std::sqrt(figures.flicker_index_variance / n));
    m.percent_flicker_sd = std::sqrt(figures.percent_flicker_variance) / n;
    m.flicker_index_sd = std::sqrt(figures.flicker_index_variance) / n;
    if (settings_.dark && tones.mean > 0.0) {
      const double beneath = signal::hum_beneath(tones, *settings_.dark) / tones.mean;
      m.percent_flicker_sd = std::hypot(*m.percent_flicker_sd, 100.0 * beneath);
      m.flicker_index_sd = std::hypot(*m.flicker_index_sd, beneath / std::numbers::pi);
    }
    // Without noise to dither it, a converter's step hides where within it an extreme lies.
    if (tones.noise_sd < step_) {
      const double step_percent = 100.0 * step_ / tones.mean / std::sqrt(24.0);
      m.percent_flicker_sd = std::hypot(*m.percent_flicker_sd, step_percent);
    }
  }
  if (const auto& cycle = figures.typical_cycle; cycle && cycle->mean > 0.0 && !trust.steady) {
    m.cycle = measured_cycle(*cycle, figures.cycle_hz);
  }
  m.spectrum = figures.spectrum;
  for (double& a : m.spectrum.amplitude) a *= 100.0 / tones.mean;
  for (double& a : m.spectrum.floor) a *= 100.0 / tones.mean;
}

std::vector<AliasDoubt> MeasurementBuilder::folding_doubts(const JudgedState& state) const {
  if (state.trust.rate_hides_mains) return {};
  const Sampling sampling{mean_rate_hz(),
                          on_grid_,
                          filtered_by_recorder(format_),
                          state.figures.cycle && has_two_levels(state.figures.cycle->shape),
                          state.epoch->lead_frequency(),
                          state.epoch->windows()};
  return alias_doubts(state.tones, sampling);
}

std::optional<Ieee1789> MeasurementBuilder::worst_rhythm(const Measurement& m,
                                                         const JudgedState& state) const {
  if (!m.percent_flicker || !m.dominant_hz) return std::nullopt;
  std::vector<RhythmPercent> rhythms =
      rhythm_percents(state.tones, state.epoch->figures.rhythms, *m.percent_flicker,
                      m.percent_flicker_sd.value_or(0.0));
  std::optional<Ieee1789> worst;
  for (RhythmPercent& rhythm : rhythms) {
    rhythm.percent_sd = std::hypot(rhythm.percent_sd, m.unexplained_percent.value_or(0.0));
    const Ieee1789 judged = ieee1789(rhythm.percent, rhythm.percent_sd, rhythm.hz, rhythm.hz_sd);
    if (!worst || worse(judged, *worst)) worst = judged;
  }
  return worst;
}

void MeasurementBuilder::judge_by_standards(Measurement& m, const JudgedState& state) const {
  const EpochFigures& epoch = state.epoch->figures;
  const MeasurementTrust& trust = state.trust;
  if (trust.mean() && !trust.rate_hides_mains && !trust.frequency_only && !trust.too_short &&
      response_.flat()) {
    for (const Ja10CutOff cut_off : ja10_cut_offs) {
      const LowPassFigure& figure = epoch.lowpass[cut_off];
      if (figure.in_every_window) m.lowpass_percent[cut_off] = figure.percent;
    }
  }
  if (trust.figures()) {
    // A stretch in the dark may have no level to relate its rhythm to.
    const bool known = trust.steady ? m.steady_below_percent && *m.steady_below_percent < 1.0
                                    : state.tones.mean > 0.0;
    if (known) {
      m.svm = svm(light_from(m));
      if (!state.alias_doubts.empty()) {
        m.svm = std::max(*m.svm, worst_svm(state.tones, state.alias_doubts, mean_rate_hz()));
      }
    }
    if (pst_ && pst_possible_) m.pst_lm = pst_->pst();
    m.ieee = worst_rhythm(m, state);
  }
  m.standards = standard_verdicts(standard_figures(m));
}

}  // namespace lampbeat
