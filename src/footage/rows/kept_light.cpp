#include "footage/rows/kept_light.hpp"

#include <algorithm>
#include <bit>
#include <cmath>
#include <limits>

namespace lampbeat::footage::rows {

namespace {

static_assert(std::numeric_limits<float>::is_iec559);

// Added to what is kept: steps are even about black, where noise goes either way.
constexpr float above_none = 0x1p-13F;
// The bits of a float, read as a whole number, rise by 2^23 with each doubling and evenly between:
// 15 doublings, from half of that to twice white, in 65534 steps, one of them at no light.
constexpr std::uint16_t unknown = 0xFFFF;
constexpr std::uint32_t doubling = std::uint32_t{1} << 23;
constexpr std::uint32_t step = 15 * doubling / (unknown - 1U);
constexpr std::uint32_t smallest =
    std::bit_cast<std::uint32_t>(above_none) - doubling / step * step;

}  // namespace

KeptLight::KeptLight(float light) {
  if (std::isnan(light)) {
    code_ = unknown;
    return;
  }
  const float kept = std::clamp(light + above_none, std::bit_cast<float>(smallest), 2.0F);
  const std::uint32_t code = (std::bit_cast<std::uint32_t>(kept) - smallest + step / 2) / step;
  code_ = static_cast<std::uint16_t>(std::min<std::uint32_t>(code, unknown - 1U));
}

float KeptLight::light() const {
  return code_ == unknown ? std::numeric_limits<float>::quiet_NaN()
                          : std::bit_cast<float>(smallest + code_ * step) - above_none;
}

}  // namespace lampbeat::footage::rows
