#include "capture/byte_source.hpp"

#include <fcntl.h>
#include <sys/stat.h>
#include <unistd.h>

#include <algorithm>
#include <cerrno>
#include <cstring>
#include <utility>

#include <fmt/format.h>

#include "lampbeat/error.hpp"

namespace lampbeat {
namespace {

[[noreturn]] void refuse(const std::string& name, int trouble) {
  switch (trouble) {
    case ENOENT:
    case ENOTDIR:
      throw InputError(fmt::format("{}: there is no such file; check its name and folder", name));
    case EACCES:
    case EPERM:
      throw InputError(fmt::format(
          "{}: you are not allowed to read it; change its permissions or copy it", name));
    case EISDIR:
      throw InputError(fmt::format(
          "{}: this is a folder, not a capture; name a file in it (`rate` takes whole folders)",
          name));
    default:
      throw InputError(fmt::format("{}: it cannot be read ({}); copy it again from the recorder",
                                   name, std::strerror(trouble)));
  }
}

}  // namespace

ByteSource::Descriptor::Descriptor(Descriptor&& other) noexcept
    : number(std::exchange(other.number, -1)),
      owned(std::exchange(other.owned, false)),
      trouble(other.trouble) {}

ByteSource::Descriptor::Descriptor(int number_, bool owned_)
    : number(number_), owned(owned_), trouble(number_ < 0 ? errno : 0) {}

ByteSource::Descriptor::~Descriptor() {
  if (owned && number >= 0) ::close(number);
}

ByteSource::ByteSource(const std::string& path)
    : ByteSource(path == "-" ? Descriptor(STDIN_FILENO, false)
                             : Descriptor(::open(path.c_str(), O_RDONLY | O_CLOEXEC), true),
                 path == "-" ? "standard input" : path) {}

ByteSource::ByteSource(int descriptor, std::string name)
    : ByteSource(Descriptor(descriptor, false), std::move(name)) {}

ByteSource::ByteSource(Descriptor descriptor, std::string name)
    : descriptor_(std::move(descriptor)), name_(std::move(name)) {
  if (descriptor_.number < 0) refuse(name_, descriptor_.trouble);
  struct stat about {};
  if (::fstat(descriptor_.number, &about) != 0) refuse(name_, errno);
  if (S_ISDIR(about.st_mode)) refuse(name_, EISDIR);
  if (S_ISREG(about.st_mode)) {
    start_ = std::max<std::int64_t>(0, ::lseek(descriptor_.number, 0, SEEK_CUR));
    size_ = static_cast<std::uint64_t>(std::max<std::int64_t>(0, about.st_size - start_));
  }
}

std::size_t ByteSource::read_descriptor(char* buffer, std::size_t capacity) {
  for (;;) {
    const ssize_t count = ::read(descriptor_.number, buffer, capacity);
    if (count >= 0) {
      drawn_ += static_cast<std::uint64_t>(count);
      return static_cast<std::size_t>(count);
    }
    if (errno != EINTR) refuse(name_, errno);
  }
}

bool ByteSource::look_further() {
  constexpr std::size_t step = 16384;
  const std::size_t before = head_.size();
  head_.resize(before + step);
  head_.resize(before + read_descriptor(head_.data() + before, step));
  return head_.size() > before;
}

std::string_view ByteSource::look(std::size_t count) {
  while (head_.size() < count && look_further()) {
  }
  return std::string_view(head_).substr(0, count);
}

std::size_t ByteSource::read(char* buffer, std::size_t capacity) {
  if (head_delivered_ == head_.size()) return read_descriptor(buffer, capacity);
  const std::size_t count = std::min(capacity, head_.size() - head_delivered_);
  std::memcpy(buffer, head_.data() + head_delivered_, count);
  head_delivered_ += count;
  return count;
}

std::size_t ByteSource::read_fully(char* buffer, std::size_t capacity) {
  std::size_t filled = 0;
  while (filled < capacity) {
    const std::size_t count = read(buffer + filled, capacity - filled);
    if (count == 0) break;
    filled += count;
  }
  return filled;
}

std::size_t ByteSource::read_at(std::uint64_t position, char* buffer, std::size_t capacity) {
  std::size_t filled = 0;
  if (seekable()) {
    while (filled < capacity) {
      const ssize_t count = ::pread(descriptor_.number, buffer + filled, capacity - filled,
                                    start_ + static_cast<std::int64_t>(position + filled));
      if (count < 0 && errno == EINTR) continue;
      if (count < 0) refuse(name_, errno);
      if (count == 0) break;
      filled += static_cast<std::size_t>(count);
    }
    return filled;
  }
  if (position < head_.size()) {
    filled = std::min(capacity, head_.size() - static_cast<std::size_t>(position));
    std::memcpy(buffer, head_.data() + position, filled);
    position += filled;
  }
  if (filled == capacity || position < drawn_) return filled;
  while (drawn_ < position) {
    char dropped[4096];
    if (read_descriptor(dropped, std::min<std::uint64_t>(sizeof dropped, position - drawn_)) == 0) {
      return filled;
    }
  }
  while (filled < capacity) {
    const std::size_t count = read_descriptor(buffer + filled, capacity - filled);
    if (count == 0) break;
    filled += count;
  }
  return filled;
}

}  // namespace lampbeat
