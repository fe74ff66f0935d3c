#pragma once

#include "lampbeat/footage.hpp"

namespace lampbeat::footage {

/// Visibility and verdict of the bands and the pulsing in a result that has them.
void judge(double fps, const FootageSettings& settings, FootageResult& result);

}  // namespace lampbeat::footage
