#pragma once

#include <string>

#include "files/byte_source.hpp"

namespace lampbeat::capture {

/// Why a capture cannot be read, and what to do about it.
std::string unreadable_capture(const files::InputTrouble& trouble);

}  // namespace lampbeat::capture
