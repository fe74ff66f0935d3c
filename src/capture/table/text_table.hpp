#pragma once

#include <memory>

#include "files/byte_source.hpp"
#include "lampbeat/capture.hpp"

namespace lampbeat::capture::table {

/// Numbers in columns, as text. Throws InputError and UsageError as `open_capture` says.
std::unique_ptr<CaptureSource> open_text_table(files::ByteSource bytes,
                                               const CaptureOptions& options);

}  // namespace lampbeat::capture::table
