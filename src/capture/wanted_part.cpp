#include "capture/wanted_part.hpp"

#include <cmath>

#include <fmt/format.h>

#include "lampbeat/error.hpp"

namespace lampbeat::capture {

WantedPart wanted_part(const CaptureOptions& options) {
  if (!(options.from_s >= 0.0 && std::isfinite(options.from_s))) {
    throw UsageError(
        fmt::format("--from is a number of seconds from the first sample on, 0 or more, not {:g}",
                    options.from_s));
  }
  if (options.for_s && !(*options.for_s > 0.0 && std::isfinite(*options.for_s))) {
    throw UsageError(
        fmt::format("--for is a number of seconds greater than 0, not {:g}", *options.for_s));
  }
  return {options.from_s, options.for_s};
}

}  // namespace lampbeat::capture
