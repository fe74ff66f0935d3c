#include "signal/measurement/over_time.hpp"

#include <algorithm>
#include <utility>

namespace lampbeat::signal::measurement {

namespace {

constexpr std::size_t most_windows = 600;  ///< ten minutes of them

std::optional<double> middle(const std::optional<double>& a, const std::optional<double>& b) {
  return a && b ? std::optional((*a + *b) / 2.0) : (a ? a : b);
}

WindowFigures joined(const WindowFigures& window, const WindowFigures& next) {
  WindowFigures both = window;
  both.duration_s += next.duration_s;
  both.mean = middle(both.mean, next.mean);
  both.percent_flicker = middle(both.percent_flicker, next.percent_flicker);
  both.flicker_index = middle(both.flicker_index, next.flicker_index);
  both.dominant_hz = middle(both.dominant_hz, next.dominant_hz);
  return both;
}

/// Whether its windows' own figures say what the state's do.
bool told_by_windows(const states::JudgedState& state) {
  return !state.dark && state.trust.figures() && !state.trust.steady && !state.left.few &&
         !state.left.slow;
}

}  // namespace

void append(std::vector<WindowFigures>& windows, const WindowFigures& figures) {
  windows.push_back(figures);
  if (windows.size() <= most_windows) return;
  std::vector<WindowFigures> merged;
  for (std::size_t i = 0; i + 1 < windows.size(); i += 2) {
    merged.push_back(joined(windows[i], windows[i + 1]));
  }
  if (windows.size() % 2 == 1) merged.push_back(windows.back());
  windows = std::move(merged);
}

TimeResolved over_time(const std::vector<WindowFigures>& windows,
                       const std::vector<states::JudgedState>& states) {
  TimeResolved course;
  course.windows = windows;
  for (WindowFigures& w : course.windows) {
    if (w.percent_flicker) w.percent_flicker = std::min(100.0, *w.percent_flicker);
  }
  for (const states::JudgedState& state : states) {
    const states::EpochFigures& figures = state.epoch->figures;
    const bool told = told_by_windows(state);
    if (told && !figures.percents.empty() &&
        figures.percents.highest() > course.worst_percent_flicker.value_or(0.0)) {
      course.worst_percent_flicker = std::min(100.0, figures.percents.highest());
      course.median_percent_flicker = std::min(100.0, figures.percents.median());
      course.worst_start_s = figures.worst_percent_start_s;
    }
    if (told) continue;
    for (WindowFigures& w : course.windows) {
      if (!states::cover(state.epoch->stretches(), w.start_s)) continue;
      w.percent_flicker.reset();
      w.flicker_index.reset();
    }
  }
  return course;
}

}  // namespace lampbeat::signal::measurement
