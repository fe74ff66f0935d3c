#pragma once

#include <optional>

#include "lampbeat/clip.hpp"

namespace lampbeat::footage::clips {

/// Transfer characteristics by their numbers in ITU-T H.273, table 3; empty for others.
std::optional<TransferFunction> transfer_numbered(int number);

}  // namespace lampbeat::footage::clips
