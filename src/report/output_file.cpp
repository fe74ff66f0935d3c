#include <fcntl.h>
#include <sys/stat.h>
#include <unistd.h>

#include <cerrno>
#include <cstdio>
#include <cstdlib>
#include <cstring>
#include <string>
#include <utility>

#include "lampbeat/error.hpp"
#include "lampbeat/report.hpp"

namespace lampbeat {

namespace {

[[noreturn]] void refuse(const std::string& path, const std::string& doing) {
  throw OutputError(path + ": cannot " + doing + ": " + std::strerror(errno) +
                    "; what stood there before is untouched");
}

/// A temporary file beside its destination that disappears unless it is kept.
class Draft {
 public:
  explicit Draft(const std::string& destination)
      : destination_(destination), path_(destination + ".XXXXXX") {
    descriptor_ = mkstemp(path_.data());
    if (descriptor_ < 0) refuse(destination_, "write here");
  }
  ~Draft() {
    if (descriptor_ >= 0) close(descriptor_);
    if (!kept_) unlink(path_.c_str());
  }
  Draft(const Draft&) = delete;
  Draft& operator=(const Draft&) = delete;

  void write(const std::string& bytes) const {
    std::size_t done = 0;
    while (done < bytes.size()) {
      const ssize_t n = ::write(descriptor_, bytes.data() + done, bytes.size() - done);
      if (n < 0 && errno == EINTR) continue;
      if (n <= 0) refuse(destination_, "write all of it");
      done += static_cast<std::size_t>(n);
    }
  }

  void keep() {
    // mkstemp makes files only their owner can read; a report is for showing.
    const mode_t mask = umask(0);
    umask(mask);
    fchmod(descriptor_, 0666 & ~mask);
    if (fsync(descriptor_) != 0 && errno != EINVAL) refuse(destination_, "write all of it");
    if (close(std::exchange(descriptor_, -1)) != 0) refuse(destination_, "finish it");
    if (std::rename(path_.c_str(), destination_.c_str()) != 0) refuse(destination_, "replace it");
    kept_ = true;
  }

 private:
  std::string destination_;
  std::string path_;
  int descriptor_ = -1;
  bool kept_ = false;
};

/// Devices and pipes (/dev/null, /dev/stdout) are written to, not replaced.
bool is_special(const std::string& path) {
  struct stat status {};
  return stat(path.c_str(), &status) == 0 && !S_ISREG(status.st_mode) && !S_ISDIR(status.st_mode);
}

void write_to_stream(const std::string& path, std::FILE* stream, const std::string& bytes) {
  if (!stream) refuse(path, "open it");
  const bool written = std::fwrite(bytes.data(), 1, bytes.size(), stream) == bytes.size();
  const bool flushed = std::fflush(stream) == 0;
  if (stream != stdout) std::fclose(stream);
  if (!written || !flushed) refuse(path, "write all of it");
}

}  // namespace

void write_atomically(const std::string& path, const std::string& bytes) {
  if (path.empty()) throw OutputError("an output needs a file name");
  if (path == "-") return write_to_stream("standard output", stdout, bytes);
  if (is_special(path)) return write_to_stream(path, std::fopen(path.c_str(), "wb"), bytes);
  Draft draft(path);
  draft.write(bytes);
  draft.keep();
}

}  // namespace lampbeat
