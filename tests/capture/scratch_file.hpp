#pragma once

#include <unistd.h>

#include <filesystem>
#include <fstream>
#include <string>
#include <string_view>

namespace lampbeat::test {

/// A scratch folder of this process alone, since test cases run side by side; gone at its end.
class ScratchFolder {
 public:
  ScratchFolder()
      : path_(std::filesystem::path(LAMPBEAT_TEST_TMP) /
              ("capture-" + std::to_string(::getpid()))) {
    std::filesystem::create_directories(path_);
  }
  ~ScratchFolder() {
    std::error_code ignored;
    std::filesystem::remove_all(path_, ignored);
  }
  ScratchFolder(const ScratchFolder&) = delete;
  ScratchFolder& operator=(const ScratchFolder&) = delete;
  const std::filesystem::path& path() const { return path_; }

 private:
  std::filesystem::path path_;
};

/// Writes a file into the scratch folder and returns its path.
inline std::string scratch_file(const std::string& name, std::string_view bytes) {
  static const ScratchFolder folder;
  const std::filesystem::path path = folder.path() / name;
  std::ofstream(path, std::ios::binary)
      .write(bytes.data(), static_cast<std::streamsize>(bytes.size()));
  return path.string();
}

}  // namespace lampbeat::test
