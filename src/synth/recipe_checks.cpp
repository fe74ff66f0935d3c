#include "synth/recipe_checks.hpp"

#include <fmt/format.h>

#include "lampbeat/error.hpp"

namespace lampbeat::synth {

void require_within(std::string_view what, double value, double low, double high,
                    std::string_view unit) {
  if (value >= low && value <= high) return;
  throw UsageError(fmt::format("{} must lie between {:g} and {:g}{}{}, not {:g}", what, low, high,
                               unit.empty() ? "" : " ", unit, value));
}

void require_sensible(const LightRecipe& light) {
  for (const LightComponent& c : light.base.components) {
    require_within("a component's frequency", c.hz, 1e-3, 1e7, "Hz");
    require_within("a component's percentage", 100.0 * c.amplitude, 0.0, 200.0, "%");
    require_within("a component's phase", c.phase_rad, -1e3, 1e3, "rad");
  }
  if (light.ripple) {
    require_within("the mains frequency", light.ripple->mains_hz, 10.0, 1000.0, "Hz");
    require_within("the rectified ripple", light.ripple->percent_flicker, 0.0, 100.0, "%");
  }
  if (light.pwm) {
    require_within("a dimmer's frequency", light.pwm->hz, 1.0, 1e6, "Hz");
    require_within("a dimmer's duty cycle", light.pwm->duty, 1e-3, 1.0 - 1e-3, "");
  }
}

void require_light(double relative, double t_s) {
  if (relative >= -1e-9) return;
  throw UsageError(
      fmt::format("this light would be at {:.3g} % of its mean at {:.6g} s, and light cannot be "
                  "negative; make the components smaller or change their phases",
                  100.0 * relative, t_s));
}

}  // namespace lampbeat::synth
