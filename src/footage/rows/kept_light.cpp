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
// here from half of that to twice white, 15 doublings in 65534 steps.
constexpr std::uint32_t smallest = std::bit_cast<std::uint32_t>(above_none / 2.0F);
constexpr std::uint32_t doublings = std::bit_cast<std::uint32_t>(2.0F) - smallest;
constexpr std::uint16_t unknown = 0xFFFF;
constexpr std::uint32_t step = doublings / (unknown - 1U);

}  // namespace

KeptLight::KeptLight(float light) {
  if (std::isnan(light)) {
    code_ = unknown;
    return;
  }
  const float kept = std::clamp(light + above_none, above_none / 2.0F, 2.0F);
  const std::uint32_t code = (std::bit_cast<std::uint32_t>(kept) - smallest + step / 2) / step;
  code_ = static_cast<std::uint16_t>(std::min<std::uint32_t>(code, unknown - 1U));
}

float KeptLight::light() const {
  return code_ == unknown ? std::numeric_limits<float>::quiet_NaN()
                          : std::bit_cast<float>(smallest + code_ * step) - above_none;
}

}  // namespace lampbeat::footage::rows
