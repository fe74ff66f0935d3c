#pragma once

#include <vector>

#include "footage/answer/evidence.hpp"
#include "footage/stretches/watched.hpp"
#include "lampbeat/footage.hpp"

namespace lampbeat::footage::answer {

/// What a page shows beside the figures. `row_pattern` is the fitted one, empty where none was.
FootageView view_of(const stretches::Watched& watched, const Evidence& evidence,
                    const std::vector<double>& row_pattern);

}  // namespace lampbeat::footage::answer
