#pragma once

namespace lampbeat {

/// The program's version.
inline constexpr const char* version = "0.1.0";

/// Raised whenever any golden figure in tests/conformance moves, so that two measurements made a
/// year apart can be compared knowingly. It is printed with every machine-readable result.
inline constexpr int measurement_version = 5;

}  // namespace lampbeat
