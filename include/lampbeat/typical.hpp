#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "lampbeat/light.hpp"

namespace lampbeat {

/// A generic source, for planning without a sensor.
struct TypicalLight {
  std::string name;         ///< as typed: "tungsten", "tube-magnetic"
  std::string description;  ///< for people
  std::string source;       ///< where its figures come from, with "from memory" where so
};

/// All names, in the order they are listed.
const std::vector<TypicalLight>& typical_lights();

/// The light behind a name, on this mains frequency.
/// Throws UsageError naming near misses when there is no such name.
Light typical_light(std::string_view name, double mains_hz);

}  // namespace lampbeat
