#pragma once

#include <memory>

#include "lampbeat/capture.hpp"

namespace lampbeat::capture {

/// The same capture with the sign of every reading changed, its rails too.
std::unique_ptr<CaptureSource> inverted(std::unique_ptr<CaptureSource> source);

/// The same options, with whoever hears a live recording hearing it inverted.
CaptureOptions heard_inverted(CaptureOptions options);

}  // namespace lampbeat::capture
