#include "files/growing_file.hpp"

#include <unistd.h>

#include <cerrno>
#include <cstring>
#include <utility>

namespace lampbeat::files {

GrowingFile::GrowingFile(const std::string& path) : path_(path) {
  if (path == "-") {
    path_ = "standard output";
    file_ = stdout;
    return;
  }
  if (is_special(path)) {
    file_ = std::fopen(path.c_str(), "wb");
  } else {
    draft_.emplace(path);
    file_ = fdopen(dup(draft_->descriptor()), "wb");
  }
  if (!file_) fail();
}

GrowingFile::~GrowingFile() {
  if (file_ && file_ != stdout) std::fclose(file_);
}

void GrowingFile::write(std::string_view bytes) {
  if (std::fwrite(bytes.data(), 1, bytes.size(), file_) != bytes.size()) fail();
}

void GrowingFile::close() {
  if (!file_) return;
  if (std::fflush(file_) != 0) fail();
  if (file_ == stdout) return;
  if (std::fclose(std::exchange(file_, nullptr)) != 0) fail();
  if (draft_) draft_->keep();
}

void GrowingFile::fail() const { refuse_output(path_, std::strerror(errno)); }

}  // namespace lampbeat::files
