#pragma once

#include <string>

namespace lampbeat {

/// A number for people: so many significant digits, never an exponent, the true minus sign.
std::string in_digits(double value, int significant = 3);

/// The same text without zeros at the end of its decimals: "60.000" reads "60".
std::string trimmed(std::string number);

/// "120 Hz", "19.8 kHz".
std::string hz_label(double hz);

/// Seconds in the unit a person would use: "16.7 ms", "500 µs".
std::string duration_label(double seconds);

}  // namespace lampbeat
