#include "signal/windows/window_cutter.hpp"

#include <algorithm>
#include <cmath>

#include "arithmetic/median.hpp"
#include "arithmetic/phase.hpp"
#include "signal/windows/breaks.hpp"

namespace lampbeat::signal::windows {

namespace {

/// Long enough for a resolution of a hertz, short enough to see a level change.
constexpr double usual_window_s = 1.0;
/// Slow loggers still need enough samples for a spectrum, fast oscilloscopes must not need
/// gigabytes.
constexpr std::size_t smallest_window = 256;
constexpr std::size_t most_samples = std::size_t{1} << 21;
/// Rhythms are parted by a window of so many of their beats; longer than these it never gets, for
/// mains wander and memory is short.
constexpr double beats_to_part = 4.0;
constexpr double longest_window_s = 20.0;
constexpr std::size_t most_samples_to_part = std::size_t{1} << 19;
/// Times printed with few digits scatter around an even grid; below this share of the interval the
/// scatter is the printing's, not the clock's, and moves nothing that matters.
constexpr double even_enough = 0.05;
/// Rebuilt times scatter by what is not known of their clock; a lost row strays by more than this.
constexpr double even_enough_rebuilt = 0.2;

/// A twentieth of a second holds whole cycles of 100 and of 120 Hz light, so that blocks of one
/// light do not differ by the parts of cycles at their ends.
constexpr std::size_t blocks_a_window = 20;
/// Less than this of one light is no window of its own.
constexpr std::size_t fewest_blocks = blocks_of_a_side;
/// Shorter blocks hold too few cycles of mains light to be compared.
constexpr double shortest_block_s = 1.0 / 32.0;

/// Of at least two times; one alone has no step to go by.
double median_step(const std::vector<double>& time_s) {
  if (time_s.size() < 2) return 0.0;
  std::vector<double> steps;
  steps.reserve(time_s.size());
  for (std::size_t i = 1; i < time_s.size(); ++i) steps.push_back(time_s[i] - time_s[i - 1]);
  return arithmetic::upper_median(steps);
}

/// Nearly all steps are whole numbers of intervals.
bool steps_are_whole(const std::vector<double>& time_s, double interval_s) {
  constexpr double within = 0.1;  // of an interval: random steps are as near to whole one in five
  std::size_t broken = 0;
  for (std::size_t i = 1; i < time_s.size(); ++i) {
    const double steps = (time_s[i] - time_s[i - 1]) / interval_s;
    broken += arithmetic::off_whole(steps) > within;
  }
  return broken * 20 <= time_s.size();
}

struct EvenGrid {
  double interval_s = 0.0;
  double largest_deviation_s = 0.0;
};

/// Least-squares line through sample number and time; empty for fewer than three samples, and where
/// no time passes.
std::optional<EvenGrid> fit_even_grid(const std::vector<double>& time_s) {
  if (time_s.size() < 3) return std::nullopt;
  const auto n = static_cast<double>(time_s.size());
  const double middle = (n - 1.0) / 2.0;
  double sum_t = 0.0;
  double sum_it = 0.0;
  for (std::size_t i = 0; i < time_s.size(); ++i) {
    sum_t += time_s[i];
    sum_it += (static_cast<double>(i) - middle) * time_s[i];
  }
  EvenGrid grid;
  grid.interval_s = sum_it * 12.0 / (n * (n * n - 1.0));
  if (!(grid.interval_s > 0.0)) return std::nullopt;
  for (std::size_t i = 0; i < time_s.size(); ++i) {
    const double expected = sum_t / n + (static_cast<double>(i) - middle) * grid.interval_s;
    grid.largest_deviation_s = std::max(grid.largest_deviation_s, std::abs(time_s[i] - expected));
  }
  return grid;
}

}  // namespace

WindowCutter::WindowCutter(std::optional<double> rate_hz, Sink sink, Crowding crowding)
    : sink_(std::move(sink)),
      crowding_(std::move(crowding)),
      window_s_(usual_window_s),
      rate_hz_(rate_hz) {
  if (rate_hz_) interval_s_ = 1.0 / *rate_hz_;
}

double WindowCutter::seconds_fed() const {
  if (!rate_hz_) return last_s_;
  return first_s_ + static_cast<double>(value_.size()) * *interval_s_;
}

void WindowCutter::learn_interval() {
  if (interval_s_) return;
  if (const double step_s = median_step(time_s_); step_s > 0.0) interval_s_ = step_s;
}

std::size_t WindowCutter::target() const {
  const double wanted = interval_s_ ? window_s_ / *interval_s_ : static_cast<double>(most_samples);
  return static_cast<std::size_t>(std::llround(
      std::clamp(wanted, static_cast<double>(smallest_window), static_cast<double>(most_samples))));
}

void WindowCutter::feed(const SampleBlock& block) {
  // No more than is ever held: doubling would take up to twice as much.
  if (rate_hz_) value_.reserve(2 * target() + block.value.size());
  value_.insert(value_.end(), block.value.begin(), block.value.end());
  time_s_.insert(time_s_.end(), block.time_s.begin(), block.time_s.end());
  rebuilt_ = block.time_bound_s > 0.0;
  if (!time_s_.empty()) last_s_ = time_s_.back();
  if (value_.size() >= smallest_window) learn_interval();
  while (value_.size() >= 2 * target()) {
    if (!settle_length(false)) return;
    if (value_.size() < 2 * target()) return;
    // A break in the second half of the next window is cut then.
    if (!cut_at_break(blocks_a_window * 3 / 2, false)) hand_on_window(target());
  }
}

bool WindowCutter::settle_length(bool ends) {
  if (length_settled_ || !interval_s_ || !crowding_.looks_crowded) return length_settled_ = true;
  const double longest_s =
      std::min(longest_window_s, static_cast<double>(most_samples_to_part) * *interval_s_);
  if (!waits_for_longer_) {
    waits_for_longer_ =
        longest_s > usual_window_s &&
        crowding_.looks_crowded(window_of(std::min(value_.size(), 2 * target())).window);
    if (!waits_for_longer_) return length_settled_ = true;
  }
  const double have_s = static_cast<double>(value_.size()) * *interval_s_;
  if (!ends && have_s < longest_s) return false;
  if (const auto apart_hz = crowding_.closest_hz(window_of(value_.size()).window)) {
    window_s_ = std::clamp(beats_to_part / *apart_hz, usual_window_s, longest_s);
  }
  return length_settled_ = true;
}

std::size_t WindowCutter::block_start(std::size_t k) const {
  return k * target() / blocks_a_window;
}

bool WindowCutter::cut_at_break(std::size_t most, bool ends) {
  const double target_s = static_cast<double>(target()) * interval_s_.value_or(0.0);
  if (target_s < blocks_a_window * shortest_block_s) return false;
  for (std::size_t k = blocks_.size(); block_start(k + 1) <= value_.size(); ++k) {
    blocks_.push_back(figures_of_block(std::span<const double>(value_).subspan(
        block_start(k), block_start(k + 1) - block_start(k))));
  }
  std::vector<BlockFigures> known = before_;
  known.insert(known.end(), blocks_.begin(), blocks_.end());
  const auto found = first_break(known, !begun_, ends);
  if (!found || found->from < before_.size() || found->from - before_.size() > most) return false;
  const std::size_t from = found->from - before_.size();
  const std::size_t to = found->to - before_.size();
  const std::size_t start = block_start(from);
  // Samples beyond the last whole block belong to what the capture ends with.
  const std::size_t end = ends && to == blocks_.size() ? value_.size() : block_start(to);
  if (from >= fewest_blocks) {
    emit(start);
  } else if (from > 0) {
    emit(start, StretchKind::rest);
  }
  emit(end - start, found->lasting ? StretchKind::transition : StretchKind::disturbance);
  const std::size_t kept = found->lasting ? 0 : std::min(found->from, blocks_of_a_side);
  before_.assign(known.begin() + static_cast<std::ptrdiff_t>(found->from - kept),
                 known.begin() + static_cast<std::ptrdiff_t>(found->from));
  blocks_.clear();
  begun_ = true;
  if (found->lasting) {
    window_s_ = usual_window_s;
    length_settled_ = waits_for_longer_ = false;
  }
  return true;
}

void WindowCutter::hand_on_window(std::size_t count) {
  emit(count);
  begun_ = true;
  if (blocks_.size() < blocks_a_window) return;
  constexpr auto used = static_cast<std::ptrdiff_t>(blocks_a_window);
  before_.assign(blocks_.begin() + used - static_cast<std::ptrdiff_t>(blocks_of_a_side),
                 blocks_.begin() + used);
  blocks_.erase(blocks_.begin(), blocks_.begin() + used);
}

void WindowCutter::finish() {
  if (value_.empty()) return;
  learn_interval();
  settle_length(true);
  while (value_.size() >= 2 * target()) {
    if (!cut_at_break(blocks_a_window * 3 / 2, false)) hand_on_window(target());
    if (!value_.empty()) settle_length(true);
  }
  while (!value_.empty() && cut_at_break(value_.size(), true)) {
  }
  const std::size_t rest = value_.size();
  if (rest == 0) return;
  if (!before_.empty() && blocks_.size() < fewest_blocks) {
    emit(rest, StretchKind::rest);
    return;
  }
  if (2 * rest < 3 * target()) {
    emit(rest);
  } else {
    emit(rest / 2);
    emit(value_.size());
  }
}

WindowCutter::Gridded WindowCutter::window_of(std::size_t count) {
  Gridded found;
  Window& window = found.window;
  window.value = std::span<const double>(value_).first(count);
  if (rate_hz_) {
    window.interval_s = *interval_s_;
    return found;
  }
  relative_s_.assign(time_s_.begin(), time_s_.begin() + static_cast<std::ptrdiff_t>(count));
  for (double& t : relative_s_) t -= time_s_.front();
  const std::optional<EvenGrid> grid = fit_even_grid(relative_s_);
  const double allowed = rebuilt_ ? even_enough_rebuilt : even_enough;
  const bool even = grid && grid->largest_deviation_s <= allowed * grid->interval_s;
  if (grid) found.jitter_percent = 100.0 * grid->largest_deviation_s / grid->interval_s;
  window.interval_s = even ? grid->interval_s : median_step(relative_s_);
  if (!even) window.time_s = relative_s_;
  return found;
}

void WindowCutter::emit(std::size_t count, StretchKind kind) {
  const Gridded gridded = window_of(count);
  PlacedWindow placed;
  placed.window = gridded.window;
  placed.kind = kind;
  placed.start_s = rate_hz_ ? first_s_ : time_s_.front();
  placed.jitter_percent = gridded.jitter_percent;
  placed.on_grid = placed.window.even() || steps_are_whole(relative_s_, placed.window.interval_s);
  sink_(placed);
  const auto used = static_cast<std::ptrdiff_t>(count);
  value_.erase(value_.begin(), value_.begin() + used);
  if (!rate_hz_) time_s_.erase(time_s_.begin(), time_s_.begin() + used);
  if (rate_hz_) first_s_ += static_cast<double>(count) * *interval_s_;
}

}  // namespace lampbeat::signal::windows
