#pragma once

#include <span>

namespace lampbeat::page {

/// From here on a recorder of this rate is heard; what was heard before is forgotten.
void begin_listening(double rate_hz);

/// Its next samples, full scale 1.
void hear(std::span<const float> samples);

}  // namespace lampbeat::page
