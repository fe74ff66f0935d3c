#pragma once

#include <sys/wait.h>

#include <cstdlib>
#include <string>

#include "support/places.hpp"
#include "support/scratch.hpp"

// Runs a program as a person would: what it printed, what it complained of, how it ended.

namespace lampbeat::test {

struct RunResult {
  int exit_code = -1;  ///< 128 + signal when it was killed
  std::string out;
  std::string err;
};

/// Runs a shell command line; what it prints may be as long as it likes.
inline RunResult run_command(const std::string& command) {
  const ScratchFolder folder("run-" + std::to_string(std::rand()));
  const std::string line =
      "( " + command + " ) >" + folder.file("out") + " 2>" + folder.file("err") + " </dev/null";
  const int status = std::system(line.c_str());
  RunResult result;
  result.exit_code = WIFEXITED(status) ? WEXITSTATUS(status) : 128 + WTERMSIG(status);
  result.out = contents_of(folder.file("out"));
  result.err = contents_of(folder.file("err"));
  return result;
}

/// Runs lampbeat with these arguments, as typed in a shell.
inline RunResult run_lampbeat(const std::string& arguments) {
  return run_command("'" + places::program() + "' " + arguments);
}

}  // namespace lampbeat::test
