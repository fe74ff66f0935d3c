#pragma once

#include <optional>
#include <vector>

#include "lampbeat/cycle.hpp"
#include "lampbeat/window.hpp"

namespace lampbeat::signal::cycle {

/// The figures over every combination of two rhythms' phases, from a torus of cells: for light that
/// is more than its two parts and their product, and for few cycles of the slower one. `rhythms`
/// holds two; empty as `cycle_figures` is.
std::optional<CycleFigures> torus_cycle(const Window& window, const std::vector<Rhythm>& rhythms);

}  // namespace lampbeat::signal::cycle
