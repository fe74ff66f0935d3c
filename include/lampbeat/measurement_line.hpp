#pragma once

#include <string>

#include "lampbeat/measurement.hpp"

namespace lampbeat {

/// Reads one line of `measure --json` back, as far as rating needs it: figures, components,
/// standards, warnings; not the waveform and the spectrum.
/// Throws InputError saying what is wrong with the line.
Measurement read_measurement_line(const std::string& line);
/// Whether a text starts like a line of JSON.
bool is_json_line(const std::string& text);

}  // namespace lampbeat
