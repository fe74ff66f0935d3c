#pragma once

#include <cstddef>
#include <span>
#include <vector>

#include "signal/lines/line_model.hpp"
#include "signal/lines/normal_equations.hpp"

namespace lampbeat::signal::lines {

/// What `waves` gives for the model's lines, to about a millionth of each fundamental's highest
/// multiple, in a time that hardly depends on how many multiples there are: together they repeat
/// once a turn of the fundamental, so that one turn is worked out and looked up. `rates` are the
/// lines', radians per unit of the fit clock.
std::vector<double> tied_waves(std::size_t samples, const LineModel& model,
                               std::span<const double> rates, const LineAmplitudes& at);

}  // namespace lampbeat::signal::lines
