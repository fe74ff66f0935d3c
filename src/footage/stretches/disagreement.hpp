#pragma once

#include "footage/stretches/parts.hpp"
#include "footage/waves/wave.hpp"

namespace lampbeat::footage::stretches {

/// How much a wave differs between strips of columns and parts of the stretch: the typical
/// deviation of its amplitude there beyond noise, over the amplitude itself. A lamp lights all
/// columns in one rhythm and keeps on doing so; structure of the scene that a moving camera carries
/// past does neither, since other columns hold other structure.
double disagreement(const Parts& parts, const waves::Wave& wave);

}  // namespace lampbeat::footage::stretches
