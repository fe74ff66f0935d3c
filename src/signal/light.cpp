#include "lampbeat/light.hpp"

#include <cmath>
#include <numbers>
#include <string>

#include "lampbeat/error.hpp"

namespace lampbeat {

double light_at(const Light& light, double t_s) {
  double value = 1.0;
  for (const LightComponent& c : light.components) {
    value += c.amplitude * std::cos(2.0 * std::numbers::pi * c.hz * t_s + c.phase_rad);
  }
  return value;
}

Light retuned(const Light& light, double mains_hz) {
  if (!(mains_hz >= 10.0 && mains_hz <= 1000.0)) {
    throw UsageError("a mains frequency lies between 10 and 1000 Hz (50 or 60 in homes), not " +
                     std::to_string(mains_hz));
  }
  if (!light.mains_hz) return light;
  Light moved = light;
  for (LightComponent& c : moved.components) {
    if (c.mains_order) c.hz = *c.mains_order * mains_hz;
  }
  moved.mains_hz = mains_hz;
  return moved;
}

}  // namespace lampbeat
