#pragma once

#include <vector>

#include "lampbeat/cycle.hpp"
#include "lampbeat/window.hpp"

namespace lampbeat::signal {

/// How two rhythms meet: side by side, as two lamps do, or one switching the other, as a dimmer
/// does a rippling supply. Then what is left holds their product as well.
enum class Meeting { sum, product };

/// The window's samples with its rhythms taken out, level and everything unrhythmic left in: each
/// rhythm's averaged cycle (up to 128 phases) is subtracted in turn. A sample at a switched
/// light's edge says more about when the edge came than about the light, so the level before it
/// stands in for it. Rhythms of fewer than three cycles in the window are left in.
/// With Meeting::product, what two averaged cycles times each other explain of the rest goes too
/// (least squares).
std::vector<double> without_rhythms(const Window& window, const std::vector<Rhythm>& rhythms,
                                    Meeting meeting = Meeting::sum);

}  // namespace lampbeat::signal
