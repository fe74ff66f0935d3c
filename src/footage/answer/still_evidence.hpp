#pragma once

#include "footage/answer/evidence.hpp"

namespace lampbeat::footage::answer {

/// What one photograph shows. Stripes of the scene and bands of the light look alike in it, so a
/// picture with other things in it is measured and not judged, and none proves that a light is
/// clean: fewer bands than one may be at the turn of their cycle.
Evidence still_evidence(const stretches::Watched& watched, const FootageSettings& settings);

}  // namespace lampbeat::footage::answer
