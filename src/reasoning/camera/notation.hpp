#pragma once

#include <optional>
#include <string_view>

#include "lampbeat/shot.hpp"

// Rates and times as the trade writes them. Nothing comes back for what is written otherwise.

namespace lampbeat::reasoning::camera {

std::string_view trimmed(std::string_view text);

/// Takes `ending`, written in small letters, off the end of `text`, whatever its letters' case;
/// false when it is not there.
bool take_ending(std::string_view& text, std::string_view ending);

/// What a comma with three digits behind it is.
enum class ThreeBehindComma {
  unclear,   ///< of thousands or of decimals: no number
  decimals,  ///< thousands would make no sense
};

/// A plain decimal number: digits and at most one point or comma, no exponent, no "nan" and no
/// "inf".
std::optional<double> decimal_from(std::string_view text,
                                   ThreeBehindComma three = ThreeBehindComma::unclear);

/// The fraction in lowest terms.
FrameRate reduced(FrameRate fps);

/// "24", "24p", "25fps", "30000/1001"; "29.97", "29,97" and their like mean the 1000/1001 rate.
std::optional<FrameRate> frame_rate_from(std::string_view text);

/// Seconds from "1/60", "16.7ms", "16,7ms", "500us", "0.02s", "1/50s".
std::optional<double> seconds_from(std::string_view text);

}  // namespace lampbeat::reasoning::camera
