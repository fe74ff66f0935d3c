#pragma once

#include <string>

#include "lampbeat/measurement.hpp"
#include "lampbeat/text_style.hpp"

namespace lampbeat {

/// The light over two cycles and its strongest rhythms, drawn in characters, `style.width` columns
/// wide (40 ... 100): dots of braille and block elements with Unicode, plain marks without.
/// Never colour alone; ends with a line break. Says so in words when there is no cycle to draw.
std::string terminal_plot(const Measurement& measurement, const TextStyle& style);

}  // namespace lampbeat
