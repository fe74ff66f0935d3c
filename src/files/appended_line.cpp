#include "files/appended_line.hpp"

#include <fcntl.h>
#include <sys/file.h>
#include <sys/stat.h>
#include <unistd.h>

#include <cerrno>
#include <cstring>
#include <utility>

#include "files/draft.hpp"

namespace lampbeat::files {

namespace {

/// An open file that is closed with its owner, which lets go of its lock too.
class Opened {
 public:
  explicit Opened(const std::string& path)
      : number_(open(path.c_str(), O_RDWR | O_APPEND | O_CREAT | O_CLOEXEC, 0666)) {
    if (number_ < 0) refuse_output(path, std::strerror(errno));
  }
  ~Opened() { close(number_); }
  Opened(const Opened&) = delete;
  Opened& operator=(const Opened&) = delete;
  int number() const { return number_; }

 private:
  int number_;
};

/// Waits for its turn. Some network file systems know no locks: there the single write at the end
/// of the file has to do.
bool lock(int file) {
  int failed = 0;
  do {
    failed = flock(file, LOCK_EX);
  } while (failed != 0 && errno == EINTR);
  return failed == 0;
}

struct stat status_of(int file, const std::string& path) {
  struct stat status {};
  if (fstat(file, &status) != 0) refuse_output(path, std::strerror(errno));
  return status;
}

/// Whether the name still stands for the file that was opened: while this one waited, somebody may
/// have put the log away under another name.
bool still_there(const struct stat& opened, const std::string& path) {
  struct stat named {};
  return stat(path.c_str(), &named) == 0 && named.st_dev == opened.st_dev &&
         named.st_ino == opened.st_ino;
}

bool ends_a_line(int file, off_t size) {
  char last = '\n';
  return size == 0 || pread(file, &last, 1, size - 1) != 1 || last == '\n';
}

/// All of it in one write, which the system puts at the end of the file whole; what is left over
/// where the disk fills up is written on, and fails.
int write_all(int file, std::string_view bytes) {
  while (!bytes.empty()) {
    const ssize_t written = write(file, bytes.data(), bytes.size());
    if (written < 0 && errno == EINTR) continue;
    if (written <= 0) return written < 0 ? errno : EIO;
    bytes.remove_prefix(static_cast<std::size_t>(written));
  }
  return 0;
}

/// False where the file was put away meanwhile.
bool append_to(const Opened& file, const std::string& path, std::string_view line) {
  const bool locked = lock(file.number());
  const struct stat before = status_of(file.number(), path);
  const bool regular = S_ISREG(before.st_mode);
  if (regular && !still_there(before, path)) return false;
  std::string bytes = regular && !ends_a_line(file.number(), before.st_size) ? "\n" : "";
  bytes += line;
  bytes += '\n';
  int trouble = write_all(file.number(), bytes);
  if (trouble == 0 && fsync(file.number()) != 0 && errno != EINVAL) trouble = errno;
  if (trouble == 0) return true;
  // Only who holds the lock knows that what stands behind is its own.
  if (locked && regular && ftruncate(file.number(), before.st_size) != 0) {
    refuse_output(path, std::string(std::strerror(trouble)) + ", and part of a line is left there");
  }
  refuse_output(path, std::strerror(trouble));
}

}  // namespace

void append_line(const std::string& path, std::string_view line) {
  constexpr int most_tries = 100;
  for (int i = 0; i < most_tries; ++i) {
    const Opened file(path);
    if (append_to(file, path, line)) return;
  }
  refuse_output(path, "it is put away under another name again and again");
}

}  // namespace lampbeat::files
