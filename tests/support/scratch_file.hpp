#pragma once

#include <unistd.h>

#include <filesystem>
#include <fstream>
#include <string>

// Files that live as long as one test.

namespace lampbeat::test {

/// A scratch file that disappears with its test.
class ScratchFile {
 public:
  ScratchFile(const std::string& name, const std::string& bytes)
      : path_(std::string(LAMPBEAT_TEST_TMP) + "/" + std::to_string(::getpid()) + "-" + name) {
    std::ofstream(path_, std::ios::binary) << bytes;
  }
  explicit ScratchFile(const std::string& name) : ScratchFile(name, "") {}
  ~ScratchFile() { std::filesystem::remove(path_); }
  ScratchFile(const ScratchFile&) = delete;
  ScratchFile& operator=(const ScratchFile&) = delete;
  const std::string& path() const { return path_; }

 private:
  std::string path_;
};

}  // namespace lampbeat::test
