#pragma once

#include <optional>

#include "lampbeat/window.hpp"

namespace lampbeat::signal::tones {

/// Whether the strongest line of a window has company within three hertz, which a window of a
/// second cannot part from it: then a longer stretch is worth waiting for. A clock that wanders and
/// a light that fades look like that too. Costs two short transforms.
bool looks_crowded(const Window& window);

/// How far apart the rhythms beside the strongest line are, Hz: the least distance between lines
/// that this window parts, none of them a sideband, when they leave next to nothing there.
/// Empty where there is one rhythm only, or what is there is no handful of lines.
std::optional<double> closest_rhythms_hz(const Window& window);

}  // namespace lampbeat::signal::tones
