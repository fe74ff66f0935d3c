#pragma once

#include <memory>

#include "lampbeat/capture.hpp"

namespace lampbeat::capture {

/// The same capture, block for block, read on a thread of its own a few blocks ahead of whoever
/// takes them: reading a table costs as much as measuring it. For files only; a live pipe's blocks
/// should be taken as they come.
std::unique_ptr<CaptureSource> read_ahead(std::unique_ptr<CaptureSource> source);

}  // namespace lampbeat::capture
