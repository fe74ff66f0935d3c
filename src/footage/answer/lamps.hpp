#pragma once

#include <vector>

#include "footage/waves/wave.hpp"

namespace lampbeat::footage::answer {

/// The waves without those that are harmonics of a stronger one: the edges of a sharply switched
/// lamp reach far beyond the orders that were fitted with it. `frames`: of the clip. `rows`: of the
/// cells, which fold what is finer than they are.
std::vector<waves::Wave> one_for_each_lamp(const std::vector<waves::Wave>& waves, double frames,
                                           double rows);

}  // namespace lampbeat::footage::answer
