#pragma once

#include <string>
#include <vector>

#include "lampbeat/comparison.hpp"

namespace lampbeat::reasoning::comparison {

/// Each figure that both have, before and after, in the order of `before`.
std::vector<FigureChange> figure_changes(const Occasion& before, const Occasion& after);

/// The same where no figure can be held against the other: what they were, and no verdict.
void withdraw_verdicts(std::vector<FigureChange>& figures);

/// More of it than before, or less, beyond the uncertainties.
bool rose(const FigureChange& figure);
bool fell(const FigureChange& figure);

/// "rose from 45.0 % to 52.1 %".
std::string course_words(const FigureChange& figure);

}  // namespace lampbeat::reasoning::comparison
