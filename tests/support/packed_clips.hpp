#pragma once

#include <string>

#include "containers/container.hpp"
#include "support/run_program.hpp"
#include "support/skip.hpp"

// Clips and sound packed by ffmpeg, for checks of what opens them.

namespace lampbeat::test {

/// Whether ffmpeg is here to pack, and the module to unpack; says why not.
inline bool can_pack() {
  if (!containers::can_open()) {
    passed_over("lampbeat was built without FFmpeg's libraries");
    return false;
  }
  if (run_command("ffmpeg -version").exit_code != 0) {
    passed_over("there is no ffmpeg to pack clips with");
    return false;
  }
  return true;
}

/// Runs ffmpeg; false, with a word, where it lacks the codec.
inline bool packed(const std::string& arguments) {
  const RunResult run = run_command("ffmpeg -y -v error " + arguments);
  if (run.exit_code == 0) return true;
  if (run.err.find("Unknown encoder") == std::string::npos) FAIL(run.err);
  passed_over(run.err);
  return false;
}

}  // namespace lampbeat::test
