#include "footage/rows/kept_light.hpp"

#include <algorithm>
#include <cmath>

namespace lampbeat::footage::rows {

KeptLight::KeptLight(float light) {
  if (std::isnan(light)) {
    code_ = unknown;
    return;
  }
  const float kept = std::clamp(light + above_none, std::bit_cast<float>(smallest), 2.0F);
  const std::uint32_t code = (std::bit_cast<std::uint32_t>(kept) - smallest + step / 2) / step;
  code_ = static_cast<std::uint16_t>(std::min<std::uint32_t>(code, unknown - 1U));
}

}  // namespace lampbeat::footage::rows
