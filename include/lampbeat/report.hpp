#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

#include "lampbeat/camera.hpp"
#include "lampbeat/footage.hpp"
#include "lampbeat/measurement.hpp"
#include "lampbeat/prediction.hpp"
#include "lampbeat/rating.hpp"
#include "lampbeat/shutters.hpp"

// Report: results in, text out. Nothing here prints; only write_atomically touches a file.

namespace lampbeat {

/// How text for a terminal may look.
struct TextStyle {
  int width = 100;  ///< columns
  bool colour = false;
  bool unicode = true;
};

std::string to_text(const Measurement& measurement, const TextStyle& style);
std::string to_text(const Prediction& prediction, const TextStyle& style);
/// Shows as many settings per frame rate as fit a screen, or exactly `per_frame_rate`.
std::string to_text(const ShutterPlan& plan, const TextStyle& style,
                    std::optional<std::size_t> per_frame_rate = std::nullopt);
std::string to_text(const ShelfRating& rating, const TextStyle& style);
std::string to_text(const FootageResult& footage, const TextStyle& style);

/// The same text for a terminal without Unicode: "±" becomes "+/-", "µs" "us", "°" "deg" and so on;
/// anything unknown becomes "?".
std::string in_ascii(const std::string& text);

/// One line of JSON each, keys as in the README and the schemas; absent figures are null.
std::string to_json(const Measurement& measurement);
std::string to_json(const Prediction& prediction);
std::string to_json(const ShutterPlan& plan);
std::string to_json(const ShelfRating& rating);
std::string to_json(const FootageResult& footage);

/// A light profile: the saved form of a Light, and back.
/// Throws InputError naming the file and what is wrong in it.
std::string light_profile(const Light& light);
Light read_light_profile(const std::string& path);
/// Whether a file looks like a light profile (JSON text) rather than a capture.
bool is_light_profile(const std::string& path);

/// A camera file: modes with frame rate, rows, readout and the shutters on the dial, in the words a
/// person would type. Throws InputError naming the file, the mode and the key, and what was
/// expected instead.
Camera read_camera(const std::string& path);
/// The same file written out, for people to edit.
std::string camera_json(const Camera& camera);

/// Writes a whole file or nothing: to a temporary file beside it, then renamed over it.
/// "-" writes to standard output. Throws OutputError.
void write_atomically(const std::string& path, const std::string& bytes);

}  // namespace lampbeat
