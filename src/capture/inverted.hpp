#pragma once

#include <memory>

#include "lampbeat/capture.hpp"

namespace lampbeat::capture {

/// The same capture with the sign of every reading changed, its rails too.
std::unique_ptr<CaptureSource> inverted(std::unique_ptr<CaptureSource> source);

}  // namespace lampbeat::capture
