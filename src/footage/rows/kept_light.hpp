#pragma once

#include <cstdint>

namespace lampbeat::footage::rows {

/// Light as it is kept for all the frames of a stretch: in two bytes, which tell it to within one
/// part in 8000 of itself, 6 in 100,000 by standard deviation (of light below a thousandth of
/// white, to so much of a thousandth of it). Rounding to eight bits leaves the mean of a cell's
/// hundreds of pixels four times as uncertain, to ten bits as much. Up to nearly twice white.
class KeptLight {
 public:
  KeptLight() = default;
  /// NaN is kept as such.
  explicit KeptLight(float light);
  float light() const;

 private:
  std::uint16_t code_ = 0;
};

}  // namespace lampbeat::footage::rows
