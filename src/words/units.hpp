#pragma once

#include <string>

// Figures with their units, as people write them.

namespace lampbeat::words {

/// "31.2 %"; "0.04 %"; tiny values as "under 0.01 %". Every percentage of the light is worded here,
/// so that one figure reads the same in a table and in the sentence below it.
std::string percent(double value);

/// The same rounded down, for what must not be exceeded.
std::string percent_at_most(double value);

/// "120.02 Hz", "2400 Hz", "19.84 kHz": at most so many significant digits, five for a light's own
/// rhythm wherever it stands. Kilohertz begin at 10 kHz, so that everything near the mains and its
/// multiples is read, and compared, in one unit.
std::string hertz(double hz, int significant = 5);

/// "0.3 stops", "1 stop", "1.3 stops": how many, whichever way.
std::string stops(double value);

/// "0.22", "<0.01", "0": how many stops are clean, rounded down, for no more is than was proved.
std::string clean_stops(double value);

/// "120.030 ± 0.002 Hz": as many digits as the uncertainty supports (two digits of it, at most 4
/// decimals).
std::string measured_hertz(double hz, double sd);

/// "0.094 ± 0.001", or without the uncertainty when it is far below the last digit. `unit` may be
/// empty.
std::string with_uncertainty(double value, double sd, int decimals, const std::string& unit);

/// "0.2134 ± 0.0012", a level in the recorder's own unit: as many digits as two of the uncertainty
/// support.
std::string measured_level(double level, double sd);

/// Seconds in the unit a person would use, three digits of it: "5.00 min", "16.7 ms", "500 µs".
std::string duration(double seconds);

}  // namespace lampbeat::words
