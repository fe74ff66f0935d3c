#include "synth/random.hpp"

#include <cmath>

#include "arithmetic/phase.hpp"

namespace lampbeat::synth {

double Random::uniform() { return static_cast<double>(engine_() >> 11) * 0x1.0p-53; }

double Random::normal() {
  if (has_spare_) {
    has_spare_ = false;
    return spare_;
  }
  const double radius = std::sqrt(-2.0 * std::log(1.0 - uniform()));  // 1 − u is never zero
  const double angle = arithmetic::turn * uniform();
  spare_ = radius * std::sin(angle);
  has_spare_ = true;
  return radius * std::cos(angle);
}

}  // namespace lampbeat::synth
