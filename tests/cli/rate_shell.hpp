#pragma once

#include <sys/wait.h>

#include <array>
#include <cstdio>
#include <filesystem>
#include <fstream>
#include <sstream>
#include <string>

// The real program, through a shell.

namespace rate_shell {

struct Ran {
  int status = -1;
  std::string out;
};

/// Runs a command line and keeps its standard output.
inline Ran run(const std::string& command) {
  Ran ran;
  std::FILE* pipe = popen(command.c_str(), "r");
  if (!pipe) return ran;
  std::array<char, 4096> buffer{};
  while (const std::size_t n = std::fread(buffer.data(), 1, buffer.size(), pipe)) {
    ran.out.append(buffer.data(), n);
  }
  const int status = pclose(pipe);
  ran.status = WIFEXITED(status) ? WEXITSTATUS(status) : 128 + WTERMSIG(status);
  return ran;
}

inline Ran lampbeat(const std::string& arguments) {
  return run("'" LAMPBEAT_PROGRAM "' " + arguments + " 2>/dev/null");
}

inline std::string contents(const std::filesystem::path& path) {
  std::ifstream file(path, std::ios::binary);
  std::ostringstream text;
  text << file.rdbuf();
  return text.str();
}

/// An empty folder of its own for one test.
inline std::filesystem::path fresh_folder(const std::string& name) {
  const auto folder = std::filesystem::path(LAMPBEAT_TEST_TMP) / name;
  std::filesystem::remove_all(folder);
  std::filesystem::create_directories(folder);
  return folder;
}

/// A practice capture: a 120 Hz ripple of so many percent.
inline void make_capture(const std::filesystem::path& path, double percent) {
  std::ostringstream command;
  command << "synth '" << path.string() << "' --mains 60 --component 120:" << percent
          << " --seconds 1 --rate 8000 --seed 4";
  lampbeat(command.str());
}

}  // namespace rate_shell
