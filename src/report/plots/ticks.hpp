#pragma once

#include <vector>

namespace lampbeat::report::plots {

/// Round tick values from low to high, about `wanted` of them, 1-2-5 spaced.
std::vector<double> ticks(double low, double high, int wanted);
/// Powers of ten (and, when fewer than three fit, their halves and fifths) within low ... high.
std::vector<double> log_ticks(double low, double high);

}  // namespace lampbeat::report::plots
