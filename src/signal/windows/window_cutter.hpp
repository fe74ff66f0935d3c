#pragma once

#include <functional>
#include <optional>
#include <vector>

#include "lampbeat/capture.hpp"
#include "lampbeat/window.hpp"
#include "signal/windows/block_figures.hpp"

namespace lampbeat::signal::windows {

/// What a stretch of samples is to whoever measures a light.
enum class StretchKind {
  light,        ///< one light all along: to be analysed
  transition,   ///< the light became another here
  disturbance,  ///< shorter than half a second, unlike the same light before and after it
  rest,         ///< of the light beside it, between two breaks too close for a window
};

/// A window and where it stands in the capture.
struct PlacedWindow {
  Window window;
  StretchKind kind = StretchKind::light;
  double start_s = 0.0;  ///< of its first sample, from the capture's first
  /// Whether every sample lies a whole number of intervals after the one before, as where rows were
  /// lost from an even recording: then folded frequencies look like slow ones.
  bool on_grid = true;
  double jitter_percent = 0.0;  ///< largest deviation from an even grid, % of the interval
};

/// Cuts a stream of blocks into windows of about a second, holding at most two of them. What is
/// left at the end (between one and two windows) becomes one or two windows of equal length, so
/// that no sample is left out and no window is much shorter than the rest.
///
/// Where the light becomes another, or is disturbed, a window ends: it is found in blocks of a
/// twentieth of a window, and the blocks it falls into are handed on as stretches of their own.
class WindowCutter {
 public:
  using Sink = std::function<void(const PlacedWindow&)>;

  /// `rate_hz` is empty when the blocks carry times.
  WindowCutter(std::optional<double> rate_hz, Sink sink);

  void feed(const SampleBlock& block);
  void finish();
  double seconds_fed() const;

 private:
  void learn_interval();
  std::size_t target() const;
  /// Where block `k` of the buffer begins.
  std::size_t block_start(std::size_t k) const;
  /// Hands on the buffer up to its first break within `most` blocks, if there is one.
  bool cut_at_break(std::size_t most, bool ends);
  void hand_on_window(std::size_t count);
  void emit(std::size_t count, StretchKind kind = StretchKind::light);

  Sink sink_;
  std::optional<double> rate_hz_;
  std::optional<double> interval_s_;  ///< of samples with times: learnt from the first of them
  std::vector<double> value_;
  std::vector<double> time_s_;
  std::vector<double> relative_s_;
  bool rebuilt_ = false;              ///< the times come from a rebuilt clock
  std::vector<BlockFigures> before_;  ///< the last blocks handed on, of the same light
  std::vector<BlockFigures> blocks_;  ///< of the buffer, as far as they were computed
  bool begun_ = false;
  double first_s_ = 0.0;  ///< time of value_.front(), evenly sampled captures
  double last_s_ = 0.0;
};

}  // namespace lampbeat::signal::windows
