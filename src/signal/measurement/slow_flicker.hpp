#pragma once

#include <optional>

#include "lampbeat/standards.hpp"

namespace lampbeat::signal::measurement {

/// PstLM over a whole capture: of evenly spaced samples, fast enough for the flickermeter, that
/// have kept the slow changes it is about.
class SlowFlicker {
 public:
  /// `level_kept` is false where the recorder's coupling took the level, or corners are undone
  /// later: such a capture has none.
  explicit SlowFlicker(bool level_kept) : possible_(level_kept) {}

  void feed(const Window& light);
  /// Empty where it cannot be had, also of too short a capture.
  std::optional<double> pst() const { return meter_ ? meter_->pst() : std::nullopt; }

 private:
  bool possible_;
  std::optional<PstMeter> meter_;
};

}  // namespace lampbeat::signal::measurement
