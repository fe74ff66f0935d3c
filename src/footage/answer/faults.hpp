#pragma once

#include "footage/stretches/watched.hpp"
#include "lampbeat/finding.hpp"

namespace lampbeat::footage::answer {

/// What happened to the frames on their way: repeated, lost, uneven.
Findings time_faults(const stretches::Watched& watched);
/// Faults of the picture itself: burnt out, restless, dark.
Findings picture_faults(const stretches::Watched& watched);

}  // namespace lampbeat::footage::answer
