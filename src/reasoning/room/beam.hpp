#pragma once

#include "lampbeat/room.hpp"

namespace lampbeat::reasoning::room {

/// The luminous intensity of a fixture, seen as a point, towards `direction` (unit), cd.
double intensity_cd(const Fixture& fixture, const Vector3& direction);

/// Over which angle its intensity changes by a good part, rad.
double beam_width_rad(const Fixture& fixture);

}  // namespace lampbeat::reasoning::room
