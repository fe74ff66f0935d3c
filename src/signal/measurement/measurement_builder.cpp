#include "signal/measurement/measurement_builder.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "lampbeat/error.hpp"
#include "signal/cycle/each_rhythm.hpp"
#include "signal/cycle/reconstruction.hpp"
#include "signal/tones/same_light.hpp"

namespace lampbeat {

namespace {

constexpr std::size_t most_windows_kept = 600;
constexpr std::size_t most_states = 24;
constexpr double slowest_pst_rate_hz = 400.0;

/// The smallest step between neighbours, 0 when all are finer than a 4096th of the range: analogue
/// noise and float recordings have neighbours at every distance, a converter's do not.
double code_step(std::span<const double> raw, double range) {
  double smallest = range;
  for (std::size_t i = 1; i < raw.size(); ++i) {
    const double step = std::abs(raw[i] - raw[i - 1]);
    if (step > 0.0) smallest = std::min(smallest, step);
  }
  return smallest >= range / 4096.0 ? smallest : 0.0;
}

/// A step the recorder quantised to, when the samples show one; of two levels only, either may be
/// the light's.
double visible_step(double code_step, double range) { return code_step < range ? code_step : 0.0; }

/// Halves the list by joining neighbours, so that an hour fits where ten minutes did.
void merge_neighbours(std::vector<WindowFigures>& windows) {
  const auto middle = [](const std::optional<double>& a, const std::optional<double>& b) {
    return a && b ? std::optional((*a + *b) / 2.0) : (a ? a : b);
  };
  std::vector<WindowFigures> merged;
  for (std::size_t i = 0; i + 1 < windows.size(); i += 2) {
    WindowFigures both = windows[i];
    const WindowFigures& next = windows[i + 1];
    both.duration_s += next.duration_s;
    both.mean = middle(both.mean, next.mean);
    both.percent_flicker = middle(both.percent_flicker, next.percent_flicker);
    both.flicker_index = middle(both.flicker_index, next.flicker_index);
    both.dominant_hz = middle(both.dominant_hz, next.dominant_hz);
    merged.push_back(both);
  }
  if (windows.size() % 2 == 1) merged.push_back(windows.back());
  windows = std::move(merged);
}

}  // namespace

MeasurementBuilder::MeasurementBuilder(const CaptureFormat& format,
                                       const MeasurementSettings& settings)
    : format_(format),
      settings_(settings),
      response_{settings.sensor_corner_hz, settings.coupling_corner_hz} {
  const auto require_positive = [](const std::optional<double>& given, const char* what) {
    if (given && !(*given > 0.0 && std::isfinite(*given))) {
      throw UsageError(fmt::format("{} must be greater than 0, not {:g}", what, *given));
    }
  };
  require_positive(settings.mean_level, "the mean level");
  require_positive(settings.sensor_corner_hz, "the sensor's corner frequency");
  require_positive(settings.coupling_corner_hz, "the coupling's corner frequency");
}

void MeasurementBuilder::add(const PlacedWindow& placed) {
  count_raw(placed);
  const Window with_hum = as_light(placed);
  const double duration_s = with_hum.duration_s();
  end_s_ = placed.start_s + duration_s;
  meter_slow_flicker(with_hum);
  if (placed.kind != StretchKind::light) {
    leave_out(placed, with_hum);
    return;
  }
  all_even_ = all_even_ && with_hum.even();
  on_grid_ = on_grid_ && placed.on_grid;
  jitter_percent_ = std::max(jitter_percent_, placed.jitter_percent);

  const ToneAnalysis seen = tones_in(placed, with_hum);
  const std::vector<signal::Hum> hum =
      settings_.dark ? signal::hum_in(seen, *settings_.dark) : std::vector<signal::Hum>();
  const ToneAnalysis tones = signal::without_hum(seen, hum);
  std::vector<double> humless;
  Window light = with_hum;
  if (!hum.empty()) {
    humless = signal::hum_taken_out(with_hum, seen, hum);
    light.value = humless;
  }
  clock_.add(tones);
  const RhythmChoice choice = choose_rhythms(tones);
  const std::optional<CycleFigures> cycle = cycle_in(light, tones, choice);
  left_over_.add(light, placed.start_s, tones, choice.rhythms, 4.0 * step_);
  if (auto& own = epochs_[current_].left_over) {
    own->add(light, placed.start_s, tones, choice.rhythms, 4.0 * step_);
  }
  filter(light, choice.rhythms);

  WindowFigures figures;
  figures.start_s = placed.start_s;
  figures.duration_s = duration_s;
  figures.mean = tones.mean;
  if (cycle) {
    figures.percent_flicker = cycle->percent_flicker;
    figures.flicker_index = cycle->flicker_index;
  }
  if (const Tone* strongest = strongest_tone(tones)) figures.dominant_hz = strongest->hz;
  remember(figures);
}

void MeasurementBuilder::leave_out(const PlacedWindow& placed, const Window& light) {
  // What follows may be another light: the account of the first one ends before it.
  if (epochs_.size() == 1 && !epochs_.front().left_over) epochs_.front().left_over = left_over_;
  left_over_.pass_over(light, placed.start_s);
  if (placed.kind != StretchKind::disturbance) return;
  ++disturbances_.count;
  const double seconds = light.duration_s();
  disturbances_.seconds += seconds;
  if (seconds <= disturbances_.longest.seconds()) return;
  disturbances_.longest = {placed.start_s, placed.start_s + seconds};
  const auto [low, high] = std::minmax_element(light.value.begin(), light.value.end());
  disturbances_.lowest = *low;
  disturbances_.highest = *high;
}

std::optional<CycleFigures> MeasurementBuilder::cycle_in(const Window& light,
                                                         const ToneAnalysis& tones,
                                                         const RhythmChoice& choice) {
  EpochFigures& epoch = epochs_[current_].figures;
  epoch.unrelated_rhythms = std::max(epoch.unrelated_rhythms, choice.unrelated);
  if (tones.mean > 0.0) {
    epoch.left_out_percent = std::max(epoch.left_out_percent, 100.0 * choice.left_out / tones.mean);
  }
  if (choice.rhythms.empty()) return std::nullopt;
  std::optional<CycleFigures> cycle;
  if (!response_.flat()) {
    cycle = figures_of_tones(tones, tones.mean, choice.rhythms);
  } else if (choice.rhythms.size() > 1) {
    signal::TwoRhythms apart = signal::take_apart(light, tones, choice.rhythms);
    remember_each(apart.alone);
    cycle = apart.together ? std::move(apart.together) : cycle_figures(light, choice.rhythms);
  } else {
    cycle = cycle_figures(light, choice.rhythms);
  }
  if (!cycle) return std::nullopt;
  if (!epoch.typical_cycle) {
    epoch.typical_cycle = cycle;
    epoch.cycle_hz = choice.rhythms.front().hz;
  }
  epoch.percent_flicker_variance += cycle->percent_flicker_sd * cycle->percent_flicker_sd;
  epoch.flicker_index_variance += cycle->flicker_index_sd * cycle->flicker_index_sd;
  ++epoch.windows_with_cycle;
  return cycle;
}

void MeasurementBuilder::remember_each(const std::vector<signal::RhythmAlone>& rhythms) {
  constexpr double same_hz = 0.01;
  std::vector<RhythmFigures>& known = epochs_[current_].figures.rhythms;
  for (const signal::RhythmAlone& alone : rhythms) {
    const double hz = alone.rhythm.hz;
    auto it = std::find_if(known.begin(), known.end(), [&](const RhythmFigures& r) {
      return std::abs(r.hz - hz) <= same_hz * hz;
    });
    if (it == known.end()) it = known.insert(known.end(), RhythmFigures{hz, {}, 0.0, 0});
    it->percents.add(alone.figures.percent_flicker);
    it->variance += alone.figures.percent_flicker_sd * alone.figures.percent_flicker_sd;
    ++it->windows;
  }
}

void MeasurementBuilder::count_raw(const PlacedWindow& placed) {
  const Window& raw = placed.window;
  const auto [low, high] = std::minmax_element(raw.value.begin(), raw.value.end());
  if (samples_ == 0) {
    lowest_ = *low;
    highest_ = *high;
  }
  lowest_ = std::min(lowest_, *low);
  highest_ = std::max(highest_, *high);
  for (const double x : raw.value) sum_ += x;
  samples_ += raw.size();

  Rails rails{format_.rail_low, format_.rail_high, format_.step.value_or(0.0),
              settings_.dark_level.value_or(0.0), placed.kind == StretchKind::light};
  const double codes = code_step(raw.value, *high - *low);
  code_step_ = std::max({code_step_, codes, rails.step});
  if (rails.step == 0.0) rails.step = visible_step(codes, *high - *low);
  step_ = std::max(step_, rails.step);
  clipping_ += find_clipping(raw.value, rails);
}

Window MeasurementBuilder::as_light(const PlacedWindow& placed) {
  double shift = -settings_.dark_level.value_or(0.0);
  if (settings_.mean_level) {
    double sum = 0.0;
    for (const double x : placed.window.value) sum += x;
    shift = *settings_.mean_level - sum / static_cast<double>(placed.window.size());
  }
  Window light = placed.window;
  if (shift != 0.0) {
    light_.assign(light.value.begin(), light.value.end());
    for (double& x : light_) x += shift;
    light.value = light_;
  }
  return light;
}

ToneAnalysis MeasurementBuilder::tones_in(const PlacedWindow& placed, const Window& light) {
  if (std::optional<ToneAnalysis> fit = known_state(placed, light)) return undo(response_, *fit);
  ToneSettings settings;
  settings.mains_hz = settings_.mains_hz;
  const ToneAnalysis found = analyse_tones(light, settings);
  if (std::optional<ToneAnalysis> fit = same_rhythms(found, placed, light)) {
    return undo(response_, *fit);
  }
  const auto still_steady = [&](const Epoch& epoch) {
    return epoch.steady() && epoch.stays_steady(found) && epoch.as_bright(found);
  };
  std::size_t state = current_;
  if (epochs_.empty() || !still_steady(epochs_[current_])) {
    state = static_cast<std::size_t>(std::find_if(epochs_.begin(), epochs_.end(), still_steady) -
                                     epochs_.begin());
  }
  if (state == epochs_.size()) state = new_state(found, placed.start_s);
  join(state, found, placed, light);
  EpochFigures& figures = epochs_[state].figures;
  if (figures.spectrum.amplitude.empty()) figures.spectrum = spectrum_of(light);
  if (const Tone* strongest = strongest_tone(found)) {
    figures.strongest_doubtful = std::max(figures.strongest_doubtful, strongest->amplitude);
  }
  return undo(response_, found);
}

std::optional<ToneAnalysis> MeasurementBuilder::known_state(const PlacedWindow& placed,
                                                            const Window& light) {
  for (std::size_t i = 0; i < epochs_.size(); ++i) {
    // The state of the window before first.
    const std::size_t state = i == 0 ? current_ : i <= current_ ? i - 1 : i;
    if (epochs_[state].steady()) continue;
    const ToneAnalysis fit = follow_tones(light, epochs_[state].first());
    if (!epochs_[state].as_bright(fit) || !epochs_[state].explains(fit)) continue;
    join(state, fit, placed, light);
    return fit;
  }
  return std::nullopt;
}

std::optional<ToneAnalysis> MeasurementBuilder::same_rhythms(const ToneAnalysis& found,
                                                             const PlacedWindow& placed,
                                                             const Window& light) {
  const auto same = [&](const Epoch& epoch) {
    const double window_s = std::min(light.duration_s(), epoch.seconds() / epoch.windows());
    return epoch.as_bright(found) &&
           signal::same_light(epoch.first(), found, 1.0 / light.interval_s, window_s);
  };
  const auto it = current_ < epochs_.size() && same(epochs_[current_])
                      ? epochs_.begin() + static_cast<std::ptrdiff_t>(current_)
                      : std::find_if(epochs_.begin(), epochs_.end(), same);
  if (it == epochs_.end()) return std::nullopt;
  const ToneAnalysis fit = follow_tones(light, it->first());
  join(static_cast<std::size_t>(it - epochs_.begin()), fit, placed, light);
  return fit;
}

void MeasurementBuilder::join(std::size_t state, const ToneAnalysis& tones,
                              const PlacedWindow& placed, const Window& light) {
  const bool goes_on = state == current_;
  current_ = state;
  epochs_[state].add(tones, {placed.start_s, placed.start_s + light.duration_s()},
                     static_cast<double>(light.size()), goes_on);
}

std::size_t MeasurementBuilder::new_state(const ToneAnalysis& found, double start_s) {
  if (epochs_.size() >= most_states) forget_a_state();
  if (epochs_.size() == 1 && !epochs_.front().left_over) epochs_.front().left_over = left_over_;
  epochs_.emplace_back(found, start_s);
  if (epochs_.size() > 1) epochs_.back().left_over.emplace();
  return epochs_.size() - 1;
}

/// The shortest of those that are worst for no figure.
void MeasurementBuilder::forget_a_state() {
  std::vector<bool> worst(epochs_.size());
  const auto keep_worst = [&](auto figure) {
    const auto it =
        std::max_element(epochs_.begin(), epochs_.end(),
                         [&](const Epoch& a, const Epoch& b) { return figure(a) < figure(b); });
    worst[static_cast<std::size_t>(it - epochs_.begin())] = true;
  };
  const auto values = [](const WindowValues& v) { return v.empty() ? 0.0 : v.median(); };
  keep_worst([&](const Epoch& e) { return values(e.figures.percents); });
  keep_worst([&](const Epoch& e) { return values(e.figures.indices); });
  keep_worst([](const Epoch& e) { return e.level(); });
  for (const double weight : {-1.0, 1.0}) {  // slow rhythms for eyes, fast ones for cameras
    keep_worst([&](const Epoch& e) {
      double most = 0.0;
      for (const ToneSeries& series : e.first().series) {
        for (const Tone& tone : series.tones) {
          most = std::max(most, tone.amplitude / e.level() * std::pow(tone.hz, weight));
        }
      }
      return most;
    });
  }
  for (const Ja10CutOff cut_off : ja10_cut_offs) {
    keep_worst([&](const Epoch& e) { return e.figures.lowpass[cut_off].percent; });
  }
  std::size_t shortest = epochs_.size();
  for (std::size_t i = 0; i < epochs_.size(); ++i) {
    if (worst[i] || i == current_) continue;
    if (shortest == epochs_.size() || epochs_[i].seconds() < epochs_[shortest].seconds()) {
      shortest = i;
    }
  }
  if (shortest == epochs_.size()) return;
  epochs_.erase(epochs_.begin() + static_cast<std::ptrdiff_t>(shortest));
  if (current_ > shortest) --current_;
  ++forgotten_states_;
}

void MeasurementBuilder::filter(const Window& light, const std::vector<Rhythm>& rhythms) {
  std::vector<double> rhythms_hz;
  for (const Rhythm& rhythm : rhythms) rhythms_hz.push_back(rhythm.hz);
  const auto extremes = ja10_extremes(light, rhythms_hz);
  EpochFigures& figures = epochs_[current_].figures;
  for (const Ja10CutOff cut_off : ja10_cut_offs) {
    LowPassFigure& figure = figures.lowpass[cut_off];
    const auto& in_window = extremes[cut_off];
    if (!in_window || !(in_window->highest + in_window->lowest > 0.0)) {
      figure.in_every_window = false;
    } else {
      figure.percent = std::max(figure.percent, modulation_percent(*in_window));
    }
  }
}

void MeasurementBuilder::meter_slow_flicker(const Window& light) {
  // A recording without DC, given a level window by window, has lost the slow changes PstLM is
  // about.
  if (settings_.mean_level || !response_.flat() || !light.even() ||
      1.0 / light.interval_s < slowest_pst_rate_hz)
    pst_possible_ = false;
  if (!pst_possible_) {
    pst_.reset();
    return;
  }
  if (!pst_) pst_.emplace(1.0 / light.interval_s);
  pst_->feed(light.value);
}

void MeasurementBuilder::remember(const WindowFigures& figures) {
  latest_ = figures;
  EpochFigures& state = epochs_[current_].figures;
  if (figures.percent_flicker) {
    if (state.percents.empty() || *figures.percent_flicker > state.percents.highest()) {
      state.worst_percent_start_s = figures.start_s;
    }
    state.percents.add(*figures.percent_flicker);
  }
  if (figures.flicker_index) state.indices.add(*figures.flicker_index);
  state.lowest_mean = std::min(state.lowest_mean.value_or(*figures.mean), *figures.mean);
  state.highest_mean = std::max(state.highest_mean.value_or(*figures.mean), *figures.mean);
  windows_.push_back(figures);
  if (windows_.size() > most_windows_kept) merge_neighbours(windows_);
}

}  // namespace lampbeat
