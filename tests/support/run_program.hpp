#pragma once

#include <sys/wait.h>
#include <unistd.h>

#include <cstdio>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <string>

// Runs a program as a person would: what it printed, what it complained of, how it ended.

namespace lampbeat::test {

struct RunResult {
  int exit_code = -1;  ///< 128 + signal when it was killed
  std::string out;
  std::string err;
};

/// Everything in a file; empty when there is none.
inline std::string contents_of(const std::string& path) {
  std::ifstream file(path, std::ios::binary);
  return {std::istreambuf_iterator<char>(file), std::istreambuf_iterator<char>()};
}

/// A folder that disappears with its test.
class ScratchFolder {
 public:
  explicit ScratchFolder(const std::string& name)
      : path_(std::string(LAMPBEAT_TEST_TMP) + "/" + std::to_string(::getpid()) + "-" + name) {
    std::filesystem::create_directories(path_);
  }
  ~ScratchFolder() { std::filesystem::remove_all(path_); }
  ScratchFolder(const ScratchFolder&) = delete;
  ScratchFolder& operator=(const ScratchFolder&) = delete;
  std::string file(const std::string& name) const { return path_ + "/" + name; }
  const std::string& path() const { return path_; }

 private:
  std::string path_;
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
  return run_command(std::string(LAMPBEAT_PROGRAM) + " " + arguments);
}

}  // namespace lampbeat::test
