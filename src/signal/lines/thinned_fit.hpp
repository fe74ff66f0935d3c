#pragma once

#include "signal/lines/line_fit.hpp"

namespace lampbeat::signal::lines {

/// What fit_lines finds with joint uncertainties, quicker where all lines are slow beside the
/// sampling: the fit runs on the means of short blocks of samples, whose droop and delay are known
/// exactly. Residual and noise are those of the samples themselves.
LineFit fit_slow_lines(const Window& window, const LineModel& start, int most_steps);

}  // namespace lampbeat::signal::lines
