#pragma once

#include <bit>
#include <cstdint>
#include <limits>

namespace lampbeat::footage::rows {

/// Light as it is kept for all the frames of a stretch: in two bytes, which tell it to within about
/// one part in 8000 of itself, 6 in 100,000 by standard deviation (of light below a thousandth of
/// white, to so much of a thousandth of it). Rounding to eight bits leaves the mean of a cell's
/// hundreds of pixels four times as uncertain, to ten bits as much. Up to nearly twice white.
class KeptLight {
 public:
  KeptLight() = default;
  /// NaN is kept as such.
  explicit KeptLight(float light);
  float light() const {
    return code_ == unknown ? std::numeric_limits<float>::quiet_NaN()
                            : std::bit_cast<float>(smallest + code_ * step) - above_none;
  }

 private:
  static constexpr std::uint16_t unknown = 0xFFFF;
  // Added to what is kept: steps are even about black, where noise goes either way.
  static constexpr float above_none = 0x1p-13F;
  // The bits of a float, read as a whole number, rise by 2^23 with each doubling and evenly
  // between: 15 doublings, from half of that to twice white, in 65534 steps, one of them at no
  // light.
  static_assert(std::numeric_limits<float>::is_iec559);
  static constexpr std::uint32_t doubling = std::uint32_t{1} << 23;
  static constexpr std::uint32_t step = 15 * doubling / (unknown - 1U);
  static constexpr std::uint32_t smallest =
      std::bit_cast<std::uint32_t>(above_none) - doubling / step * step;

  std::uint16_t code_ = 0;
};

}  // namespace lampbeat::footage::rows
