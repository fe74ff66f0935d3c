#pragma once

#include <cstddef>

namespace lampbeat::records {

/// Of a light that is read: measurements write a few dozen, and the judge takes each of them.
inline constexpr std::size_t most_components = 4096;

}  // namespace lampbeat::records
