#pragma once

#include <functional>
#include <optional>
#include <vector>

#include "lampbeat/capture.hpp"
#include "lampbeat/window.hpp"

namespace lampbeat {

/// A window and where it stands in the capture.
struct PlacedWindow {
  Window window;
  double start_s = 0.0;  ///< of its first sample, from the capture's first
  /// Whether every sample lies a whole number of intervals after the one before, as where rows were
  /// lost from an even recording: then folded frequencies look like slow ones.
  bool on_grid = true;
  double jitter_percent = 0.0;  ///< largest deviation from an even grid, % of the interval
};

/// Cuts a stream of blocks into windows of about a second, holding at most two of them. What is
/// left at the end (between one and two windows) becomes one or two windows of equal length, so
/// that no sample is left out and no window is much shorter than the rest.
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
  void emit(std::size_t count);

  Sink sink_;
  std::optional<double> rate_hz_;
  double interval_s_ = 0.0;
  std::vector<double> value_;
  std::vector<double> time_s_;
  std::vector<double> relative_s_;
  bool rebuilt_ = false;  ///< the times come from a rebuilt clock
  double first_s_ = 0.0;  ///< time of value_.front(), evenly sampled captures
  double last_s_ = 0.0;
};

}  // namespace lampbeat
