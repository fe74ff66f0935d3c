#pragma once

#include <fmt/format.h>

#include <string>

#include "support/run_program.hpp"

// Captures for whole shelves of lamps.

namespace rate_shell {

inline std::string quoted(const std::string& path) { return "'" + path + "'"; }

/// A practice capture: a 120 Hz ripple of so many percent.
inline void make_capture(const std::string& path, double percent) {
  lampbeat::test::run_lampbeat(
      fmt::format("synth {} --mains 60 --component 120:{} --seconds 1 --rate 8000 --seed 4",
                  quoted(path), percent));
}

}  // namespace rate_shell
