#include <algorithm>

#include "lampbeat/footage.hpp"

namespace lampbeat {

Depth depth_of(const FootageResult& f) {
  if (f.transfer_doubt) return {std::nullopt, "the curve this clip was read by is in doubt"};
  // Looked for and not found: the limit asks how deep it could be, not whether that would be seen.
  if (f.nothing_seen && f.smallest_seen_percent) return {f.smallest_seen_percent, ""};
  if (!f.verdict) return {std::nullopt, "what this clip shows was not decided"};
  if (!f.band_percent) return {f.pulse_percent, "no depth was measured in this clip"};
  return {std::max(*f.band_percent, f.pulse_percent.value_or(0.0)), ""};
}

}  // namespace lampbeat
