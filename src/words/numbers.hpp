#pragma once

#include <initializer_list>
#include <string>

// The digits of a figure, decided once for every place that shows one.

namespace lampbeat::words {

/// A number for people: so many significant digits, never an exponent, the true minus sign.
/// Rounding that carries into the next decade takes no digit more: 9.996 reads "10.0".
std::string in_digits(double value, int significant = 3);

/// The same without zeros at the end of its decimals: 60.0 reads "60".
std::string in_digits_at_most(double value, int significant = 3);

/// So many significant digits, and as many more as keep the number on its own side of each edge:
/// 0.5996 beside an edge at 0.6 reads "0.5996", not "0.60".
std::string in_digits_apart(double value, int significant, std::initializer_list<double> edges);

/// At most so many decimals, without zeros at their end; the true minus sign, and none before "0".
std::string in_decimals_at_most(double value, int decimals);

/// The decimals that show so many significant digits of a value, 0 to `most`; 0 for a value of 0.
int decimals_for(double value, int significant, int most);

}  // namespace lampbeat::words
