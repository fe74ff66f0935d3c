#pragma once

#include <unistd.h>

#include <filesystem>
#include <fstream>
#include <iterator>
#include <string>
#include <string_view>
#include <system_error>

#include "support/places.hpp"

// Files that live as long as one test. Test cases run side by side, each in a process of its own.

namespace lampbeat::test {

inline void write_file(const std::filesystem::path& path, std::string_view bytes) {
  std::ofstream(path, std::ios::binary)
      .write(bytes.data(), static_cast<std::streamsize>(bytes.size()));
}

/// Everything in a file; empty when there is none.
inline std::string contents_of(const std::filesystem::path& path) {
  std::ifstream file(path, std::ios::binary);
  return {std::istreambuf_iterator<char>(file), std::istreambuf_iterator<char>()};
}

/// An empty folder that disappears with its owner.
class ScratchFolder {
 public:
  explicit ScratchFolder(const std::string& name)
      : path_(places::scratch() + "/" + std::to_string(::getpid()) + "-" + name) {
    std::filesystem::remove_all(path_);
    std::filesystem::create_directories(path_);
  }
  ~ScratchFolder() {
    std::error_code ignored;
    std::filesystem::remove_all(path_, ignored);
  }
  ScratchFolder(const ScratchFolder&) = delete;
  ScratchFolder& operator=(const ScratchFolder&) = delete;
  std::string file(const std::string& name) const { return path_ + "/" + name; }
  const std::string& path() const { return path_; }

 private:
  std::string path_;
};

/// A file that disappears with its owner.
class ScratchFile {
 public:
  ScratchFile(const std::string& name, std::string_view bytes)
      : path_(places::scratch() + "/" + std::to_string(::getpid()) + "-" + name) {
    write_file(path_, bytes);
  }
  explicit ScratchFile(const std::string& name) : ScratchFile(name, "") {}
  ~ScratchFile() {
    std::error_code ignored;
    std::filesystem::remove(path_, ignored);
  }
  ScratchFile(const ScratchFile&) = delete;
  ScratchFile& operator=(const ScratchFile&) = delete;
  const std::string& path() const { return path_; }

 private:
  std::string path_;
};

/// Writes a file that lasts until the test program ends, and returns its path.
inline std::string scratch_file(const std::string& name, std::string_view bytes) {
  static const ScratchFolder folder("files");
  write_file(folder.file(name), bytes);
  return folder.file(name);
}

}  // namespace lampbeat::test
