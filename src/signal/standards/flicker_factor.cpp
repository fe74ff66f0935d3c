#include <array>

#include "lampbeat/standards.hpp"

// The sports-lighting trade's "flicker factor" is percent flicker under another name, with limits
// that grow stricter with the frame rate of the slow motion.

namespace lampbeat {
namespace {

constexpr std::array<FlickerFactorLimit, 2> limits = {{
    {"UEFA Stadium Lighting Guide 2023", 3.0, "slow motion up to 300 frames per second"},
    {"FIFA, top training grade", 1.0,
     "from a lighting supplier's table, not from FIFA's own document"},
}};

}  // namespace

std::span<const FlickerFactorLimit> flicker_factor_limits() { return limits; }

}  // namespace lampbeat
