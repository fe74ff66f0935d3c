#pragma once

#include <optional>
#include <string>
#include <vector>

#include "footage/answer/naming.hpp"
#include "footage/waves/wave.hpp"
#include "lampbeat/light.hpp"

namespace lampbeat::footage::answer {

/// The light itself, as far as the clip and what is known beside it let it be worked back.
struct Recovered {
  std::optional<Light> light;
  Findings findings;
};

/// What the exposure left of each component, put back; findings say what the exposure hides and
/// what is not known. `fps` is empty for a still, which shows no light's phase against another's.
/// `smallest_seen` is the amplitude a wave needed to be noticed.
Recovered recovered(const std::vector<waves::Wave>& waves, const NamedLight& named,
                    std::optional<double> fps, double exposure_s, std::optional<double> readout_s,
                    double smallest_seen, const std::string& clip);

}  // namespace lampbeat::footage::answer
