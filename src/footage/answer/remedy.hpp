#pragma once

#include <optional>

#include "footage/answer/answer.hpp"

namespace lampbeat::footage::answer {

/// What to film at instead; empty where the bands were judged clean or not judged. `rate` is empty
/// for a still whose rate nobody stated.
std::optional<Remedy> remedy_of(const Answer& answer, std::optional<FrameRate> rate);

}  // namespace lampbeat::footage::answer
