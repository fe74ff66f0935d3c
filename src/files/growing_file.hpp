#pragma once

#include <cstdio>
#include <optional>
#include <string>
#include <string_view>

#include "files/draft.hpp"

namespace lampbeat::files {

/// An output too long to hold in memory. It gathers in a draft and takes its name only in `close`;
/// until then, and when anything fails, whatever stood there before is untouched.
/// "-" and things that are not files (a pipe, a device) are written to directly.
class GrowingFile {
 public:
  /// Throws OutputError.
  explicit GrowingFile(const std::string& path);
  ~GrowingFile();
  GrowingFile(const GrowingFile&) = delete;
  GrowingFile& operator=(const GrowingFile&) = delete;

  /// Throws OutputError when the disk is full.
  void write(std::string_view bytes);
  /// Completes the file and gives it its name. Throws OutputError.
  void close();

 private:
  [[noreturn]] void fail() const;
  std::string path_;
  std::optional<Draft> draft_;  ///< empty when written to directly
  std::FILE* file_ = nullptr;
};

}  // namespace lampbeat::files
