#pragma once

#include <span>
#include <vector>

#include "lampbeat/banding.hpp"
#include "reasoning/mixture/series.hpp"

// The lines of a spectrum, whatever rhythms they belong to.

namespace lampbeat::reasoning::bands {

/// Adds a line to those there are: equal frequencies add up.
void add_line(std::vector<RemainingRhythm>& lines, double hz, double amplitude);

void put_strongest_first(std::vector<RemainingRhythm>& lines);

/// The lines of what rows record, equal frequencies added up, strongest first.
std::vector<RemainingRhythm> lines_of(std::span<const mixture::Series> rows);

}  // namespace lampbeat::reasoning::bands
