#pragma once

#include <optional>
#include <vector>

#include "signal/tones/growing_series.hpp"

namespace lampbeat::signal::tones {

/// Whether a line is where a weaker harmonic of a stronger switched rhythm folds to. A rhythm
/// counts as switched when its second or third multiple is seen, too.
bool fold_of_stronger(const LineField& field, std::size_t line);

/// The most that a folded harmonic may plausibly have: orders beyond half the sampling rate are no
/// stronger than about twice the strongest in the upper half of those below it. A series with few
/// orders below it is held to the law of edges instead, a fall with 1/order.
double most_folded(const LineField& field, const GrowingSeries& series, int order);

/// Whether a harmonic of a high order has others of its strength just below it. Harmonics change
/// slowly from order to order; with so many orders to try, a stranger falls on one by chance.
bool in_company(const LineField& field, std::size_t line, const GrowingSeries& series, int order);

/// Where a line belongs as a harmonic above half the sampling rate, seen where it folds to.
std::optional<lines::TiedLine> folded_member(const LineField& field, std::size_t line,
                                             const std::vector<GrowingSeries>& series);

/// The strongest recognised fold of a rhythm of which several are recognised: there are more,
/// weaker or merged ones that are not. Empty where little folds.
std::optional<double> clutter_of(const LineField& field, const std::vector<GrowingSeries>& series);

}  // namespace lampbeat::signal::tones
