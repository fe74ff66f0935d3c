#pragma once

#include "footage/answer/evidence.hpp"

namespace lampbeat::footage::answer {

/// What stands on a wall that is declared evenly lit: its rows differ by smooth shading and by
/// bands.
Evidence wall_evidence(const stretches::Watched& watched, const FootageSettings& settings);

}  // namespace lampbeat::footage::answer
