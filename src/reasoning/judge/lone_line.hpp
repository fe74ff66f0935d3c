#pragma once

#include "reasoning/bands/recorded.hpp"

namespace lampbeat::reasoning {

/// Visibility of the bands, and of the pulsing, that one line of this contrast makes by itself.
double bands_of_line(double contrast, double hz, const Shot& shot, const Viewing& viewing);
double pulsing_of_line(double contrast, double hz, const Shot& shot, const Viewing& viewing);

}  // namespace lampbeat::reasoning
