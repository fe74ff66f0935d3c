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
///
/// Where a light's rhythms lie too close together for a second to part them, its windows are as
/// long as that takes, up to twenty seconds.
class WindowCutter {
 public:
  using Sink = std::function<void(const PlacedWindow&)>;
  /// Who looks at the first seconds of a light to see how long its windows must be.
  struct Crowding {
    /// Whether a longer stretch is worth waiting for.
    std::function<bool(const Window&)> looks_crowded;
    /// How far apart the rhythms are that a window must part, Hz; empty: a second will do.
    std::function<std::optional<double>(const Window&)> closest_hz;
  };

  /// `rate_hz` is empty when the blocks carry times. Without `crowding` every window is a second.
  WindowCutter(std::optional<double> rate_hz, Sink sink, Crowding crowding = {});

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
  /// Decides how long this light's windows are. False while it needs more samples to tell.
  bool settle_length(bool ends);
  /// The first `count` samples as a window, and how far they stray from an even grid.
  struct Gridded {
    Window window;  ///< its times, where they are uneven, in `relative_s_`
    double jitter_percent = 0.0;
  };
  Gridded window_of(std::size_t count);
  void hand_on_window(std::size_t count);
  void emit(std::size_t count, StretchKind kind = StretchKind::light);

  Sink sink_;
  Crowding crowding_;
  double window_s_;                ///< how long this light's windows are
  bool length_settled_ = false;    ///< whether that is decided
  bool waits_for_longer_ = false;  ///< to decide it
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
