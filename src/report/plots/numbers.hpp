#pragma once

#include <string>
#include <vector>

namespace lampbeat {

/// A number for people: so many significant digits, never an exponent, the true minus sign.
std::string in_digits(double value, int significant = 3);

/// The same text without zeros at the end of its decimals: "60.000" reads "60".
std::string trimmed(std::string number);

/// Round tick values from low to high, about `wanted` of them, 1-2-5 spaced.
std::vector<double> ticks(double low, double high, int wanted);
/// Powers of ten (and, when fewer than three fit, their halves and fifths) within low ... high.
std::vector<double> log_ticks(double low, double high);

/// "120 Hz", "19.8 kHz".
std::string hz_label(double hz);

/// Seconds in the unit a person would use: "16.7 ms", "500 µs".
std::string duration_label(double seconds);

}  // namespace lampbeat
