#pragma once

#include <filesystem>
#include <fstream>
#include <string>
#include <string_view>

namespace lampbeat::test {

/// Writes a file into the tests' scratch folder and returns its path.
inline std::string scratch_file(const std::string& name, std::string_view bytes) {
  const std::filesystem::path folder = std::filesystem::path(LAMPBEAT_TEST_TMP) / "capture";
  std::filesystem::create_directories(folder);
  const std::filesystem::path path = folder / name;
  std::ofstream(path, std::ios::binary)
      .write(bytes.data(), static_cast<std::streamsize>(bytes.size()));
  return path.string();
}

}  // namespace lampbeat::test
