#pragma once

#include <cstdint>
#include <optional>
#include <span>
#include <string>
#include <string_view>

#include "lampbeat/shot.hpp"

namespace lampbeat::report::html {

/// A figure as markup: rounded for reading, with its full value and its JSON key beside it.
/// An absent one reads "not measured"; with the usual three digits, one smaller than 0.001 reads
/// "under 0.001". `unit` may be empty.
std::string figure(std::string_view key, std::optional<double> value, std::string_view unit,
                   int significant = 3);

/// A figure that was worded elsewhere, with its full value; absent, the words alone.
std::string shown_figure(std::string_view key, std::optional<double> value,
                         const std::string& words);

/// How fast a light beats, as `words::hertz` has it everywhere.
std::string rhythm_figure(std::string_view key, std::optional<double> hz);

/// Modulation over its threshold, never rounded across the edge of a verdict.
std::string visibility_figure(std::string_view key, double visibility);

/// A whole number, in full.
std::string count_figure(std::string_view key, std::uint64_t count);

/// Frame rates, "24, 59.94, 60 fps", the value being the last of them; an empty list reads "none".
std::string fps_figure(std::string_view key, std::span<const FrameRate> rates);

/// How many stops are clean, without the word.
std::string clean_stops_figure(std::string_view key, double stops);

/// An exposure in seconds the way cameras write it ("1/60"), with the same care.
std::string exposure_figure(std::string_view key, std::optional<double> seconds);

/// Seconds in the unit a person would use, "16.0 ms", with the same care.
std::string duration_figure(std::string_view key, std::optional<double> seconds);

/// "16.0 ms", or "global shutter" for 0.
std::string readout_words(double readout_s);

/// A part of a whole, 0 ... 1, as a percentage.
std::string share_figure(std::string_view key, double share);

/// Light on a surface.
std::string lux_figure(std::string_view key, double lux);

/// A percentage as a bar against 100 %, beside its figure; nothing for an absent one.
std::string bar(std::optional<double> percent);

/// Bytes as text for a data: address (RFC 4648, section 4).
std::string base64(std::string_view bytes);

}  // namespace lampbeat::report::html
