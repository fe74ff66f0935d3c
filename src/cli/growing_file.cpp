#include "cli/growing_file.hpp"

#include <fmt/format.h>
#include <unistd.h>

#include <cerrno>
#include <cstring>
#include <filesystem>

#include "lampbeat/error.hpp"

namespace lampbeat::cli {

GrowingFile::GrowingFile(const std::string& path) : path_(path) {
  if (path == "-") {
    path_ = "standard output";
    file_ = stdout;
    return;
  }
  std::error_code unreadable;
  const auto status = std::filesystem::status(path, unreadable);
  if (std::filesystem::is_directory(status)) {
    errno = EISDIR;
    fail();
  }
  const bool device = std::filesystem::exists(status) && !std::filesystem::is_regular_file(status);
  if (!device) growing_path_ = fmt::format("{}.{}.part", path, ::getpid());
  file_ = std::fopen(device ? path.c_str() : growing_path_.c_str(), "wb");
  if (!file_) fail();
}

GrowingFile::~GrowingFile() {
  if (!file_ || file_ == stdout) return;
  std::fclose(file_);
  if (!growing_path_.empty()) std::remove(growing_path_.c_str());
}

void GrowingFile::write(std::string_view bytes) {
  if (std::fwrite(bytes.data(), 1, bytes.size(), file_) != bytes.size()) fail();
}

void GrowingFile::close() {
  if (!file_) return;
  if (std::fflush(file_) != 0) fail();
  if (file_ == stdout) return;
  std::FILE* const finished = file_;
  file_ = nullptr;
  const bool closed = std::fclose(finished) == 0;
  if (growing_path_.empty() && closed) return;
  if (closed && std::rename(growing_path_.c_str(), path_.c_str()) == 0) return;
  const int reason = errno;
  if (!growing_path_.empty()) std::remove(growing_path_.c_str());
  errno = reason;
  fail();
}

void GrowingFile::fail() const {
  throw OutputError(fmt::format("{} cannot be written: {}; check the folder and the free space",
                                path_, std::strerror(errno)));
}

}  // namespace lampbeat::cli
