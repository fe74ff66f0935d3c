#pragma once

#include "signal/tones/search_state.hpp"

namespace lampbeat::signal::tones {

/// Parts lines that are two, nearer than the spectrum resolves: where one leaves something beside
/// it and two leave nothing but noise. How near two may lie is a matter of the noise; the fit's own
/// uncertainties tell. True when it parted any.
bool part_merged(Search& search);

}  // namespace lampbeat::signal::tones
