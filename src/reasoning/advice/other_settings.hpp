#pragma once

#include <optional>
#include <span>
#include <string>

#include "lampbeat/advice.hpp"

// What to set instead: the part of the advice on a shot that asks the judge on, the one the
// prediction came from.

namespace lampbeat::reasoning::advice {

/// The camera as far as an answer has to know it: what it offers, and how its shutter is written.
struct Spoken {
  std::span<const std::string> available;
  std::optional<ShutterNotation> asked;
};

/// What to set instead.
struct Remedy {
  std::string sentence;       ///< empty for a shot that is clean
  bool little_clean = false;  ///< nothing is clean at this frame rate, or only what is far off
};

/// "Set 1/50: the nearest clean shutter at 25 fps ...", or why there is none.
Remedy remedy(const Prediction& p, const Spoken& spoken);

/// "120 fps at 1/120 s would be clean ..."; empty where no slower rate is, or the shot's own is.
std::string slower_words(const Prediction& p, const WaysOut& ways);

/// How much of the light would have to be steady for this very setting; empty for a clean shot.
std::string steady_words(const Prediction& p, const WaysOut& ways, const Spoken& spoken);

/// What the same setting records on the other mains of the world, where that differs, and what to
/// set there; else empty.
std::string travel(const Prediction& p, const Spoken& spoken);

/// The shutter of a shot as it was asked for: "1/50 s", "270° (30 ms)".
std::string shutter_of(const Prediction& p, std::optional<ShutterNotation> asked);

}  // namespace lampbeat::reasoning::advice
