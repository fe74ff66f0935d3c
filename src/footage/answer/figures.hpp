#pragma once

#include <vector>

#include "footage/waves/wave.hpp"
#include "lampbeat/footage.hpp"

namespace lampbeat::footage {

/// Whether the wave has a phase that changes down the rows: not so with a global shutter.
bool has_bands(const Wave& wave);

/// Bands, roll and pulsing of the waves (strongest first, at least one) into the result, whose rows
/// and frame rate (`fps`, 0 for a still) are known. Where nothing tells which way the pattern runs,
/// the waves lose the sign of their roll.
void add_figures(std::vector<Wave>& waves, double fps, const FootageSettings& settings,
                 FootageResult& result);

}  // namespace lampbeat::footage
