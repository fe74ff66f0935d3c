#pragma once

#include <vector>

#include "lampbeat/companions.hpp"
#include "lampbeat/measurement.hpp"
#include "report/html/render.hpp"

// The tables of a measurement's page, as filled template sections.

namespace lampbeat::report::html {

/// The figures asked for first, and how fit the light is for filming where that is known.
std::vector<View> key_figures(const Measurement& m, const PageCompanions& with);

/// The strongest components: frequency, depth, phase and what each follows.
std::vector<View> component_rows(const Measurement& m);

/// IEEE 1789 with both its limits, then the verdicts of the other standards.
std::vector<View> standard_rows(const Measurement& m);

/// Percent flicker by JA10 at each of its cut-offs.
std::vector<View> low_pass_cells(const Measurement& m);

/// How the capture was read, and what its data are worth.
std::vector<View> how_captured(const Measurement& m);

}  // namespace lampbeat::report::html
