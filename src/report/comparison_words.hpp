#pragma once

#include <string>
#include <vector>

#include "lampbeat/comparison.hpp"

// How a comparison reads, wherever it is shown.

namespace lampbeat::report {

/// "45.00 ± 0.05 %", "under 0.02 %", "not known".
std::string value_words(const OccasionFigure& figure);

/// "+7.10 ± 0.07 %"; empty where one of the two is not known.
std::string change_words(const FigureChange& figure);

/// "changed", "the same", "cannot tell", "no ± to judge it by", or what it is put down to.
std::string changed_words(const FigureChange& figure);

/// "2026-11-01T18:30:00Z, from worktop.wav", the source called as given here.
std::string occasion_words(const Occasion& occasion, const std::string& source);

/// "Of 12 fixtures, 1 worse, 2 unknown and 9 unchanged."; of one alone, called `only_name`,
/// "worktop-panel is worse."
std::string summary_words(const std::vector<Comparison>& comparisons, const std::string& only_name);

/// What needs a look first: worse, unknown, better, unchanged; alike ones in the order given.
std::vector<const Comparison*> by_urgency(const std::vector<Comparison>& comparisons);

}  // namespace lampbeat::report
