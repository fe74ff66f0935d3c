#pragma once

#include <optional>
#include <string_view>

#include "lampbeat/shot.hpp"

// Rates and times as the trade writes them. Nothing comes back for what is written otherwise.

namespace lampbeat::reasoning::camera {

std::string_view trimmed(std::string_view text);

/// Takes `ending` off the end of `text`; false when it is not there.
bool take_ending(std::string_view& text, std::string_view ending);

/// A plain decimal number: digits and at most one point, no exponent, no "nan" and no "inf".
std::optional<double> decimal_from(std::string_view text);

/// The fraction in lowest terms.
FrameRate reduced(FrameRate fps);

/// "24", "30000/1001"; "29.97" and its like mean the 1000/1001 rate.
std::optional<FrameRate> frame_rate_from(std::string_view text);

/// Seconds from "1/60", "16.7ms", "500us", "0.02s".
std::optional<double> seconds_from(std::string_view text);

}  // namespace lampbeat::reasoning::camera
