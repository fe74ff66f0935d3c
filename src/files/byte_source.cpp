#include "files/byte_source.hpp"

#include <fcntl.h>
#include <poll.h>
#include <sys/stat.h>
#include <unistd.h>

#include <algorithm>
#include <array>
#include <cerrno>
#include <cstring>
#include <utility>

#include "lampbeat/error.hpp"

namespace lampbeat::files {
namespace {

/// Enough to tell a file's kind and to see a table's habits; a pipe gives no more at once anyway.
constexpr std::size_t look_bytes = 16384;
/// Reads as large as this go straight to where they are wanted.
constexpr std::size_t large_read_bytes = 65536;

/// Copies what is left of `kept` and counts it as delivered.
std::size_t hand_over(const char* kept, std::size_t filled, std::size_t& delivered, char* buffer,
                      std::size_t capacity) {
  const std::size_t count = std::min(capacity, filled - delivered);
  std::memcpy(buffer, kept + delivered, count);
  delivered += count;
  return count;
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

ByteSource::ByteSource(const std::string& path, TroubleWords words)
    : ByteSource(path == "-" ? Descriptor(STDIN_FILENO, false)
                             : Descriptor(::open(path.c_str(), O_RDONLY | O_CLOEXEC), true),
                 path == "-" ? "standard input" : path, words) {}

ByteSource::ByteSource(int descriptor, std::string name, TroubleWords words)
    : ByteSource(Descriptor(descriptor, false), std::move(name), words) {}

ByteSource::ByteSource(Descriptor descriptor, std::string name, TroubleWords words)
    : descriptor_(std::move(descriptor)), name_(std::move(name)), words_(words) {
  constexpr bool opening = true;
  if (descriptor_.number < 0) refuse(descriptor_.trouble, opening);
  struct stat about {};
  if (::fstat(descriptor_.number, &about) != 0) refuse(errno, opening);
  if (S_ISDIR(about.st_mode)) refuse(EISDIR, opening);
  if (S_ISREG(about.st_mode)) {
    start_ = std::max<std::int64_t>(0, ::lseek(descriptor_.number, 0, SEEK_CUR));
    size_ = static_cast<std::uint64_t>(std::max<std::int64_t>(0, about.st_size - start_));
  }
}

void ByteSource::refuse(int trouble, bool opening) const {
  throw InputError(words_({name_, trouble, opening}));
}

bool ByteSource::stopped() const {
  pollfd stop{stop_descriptor_, POLLIN, 0};
  return stop_descriptor_ >= 0 && ::poll(&stop, 1, 0) > 0;
}

/// False when the source is stopped before any come.
bool ByteSource::wait_for_bytes() {
  constexpr int no_limit = -1;
  std::array<pollfd, 2> watched{pollfd{stop_descriptor_, POLLIN, 0},
                                pollfd{descriptor_.number, POLLIN, 0}};
  while (::poll(watched.data(), watched.size(), no_limit) < 0 && errno == EINTR) {
  }
  return watched.front().revents == 0;
}

std::size_t ByteSource::read_descriptor(char* buffer, std::size_t capacity) {
  if (stop_descriptor_ >= 0 && !wait_for_bytes()) return 0;
  for (;;) {
    const ssize_t count = ::read(descriptor_.number, buffer, capacity);
    if (count >= 0) {
      drawn_ += static_cast<std::uint64_t>(count);
      return static_cast<std::size_t>(count);
    }
    if (errno != EINTR) refuse(errno, false);
  }
}

bool ByteSource::look_further() {
  const std::size_t before = head_.size();
  head_.resize(before + look_bytes);
  head_.resize(before + read_descriptor(head_.data() + before, look_bytes));
  return head_.size() > before;
}

std::string_view ByteSource::look(std::size_t count) {
  while (head_.size() < count && look_further()) {
  }
  return std::string_view(head_).substr(0, count);
}

std::size_t ByteSource::read(char* buffer, std::size_t capacity) {
  if (head_delivered_ < head_.size()) {
    return hand_over(head_.data(), head_.size(), head_delivered_, buffer, capacity);
  }
  if (ahead_delivered_ == ahead_filled_) {
    if (capacity >= large_read_bytes) return read_descriptor(buffer, capacity);
    ahead_.resize(large_read_bytes);
    ahead_filled_ = read_descriptor(ahead_.data(), ahead_.size());
    ahead_delivered_ = 0;
  }
  return hand_over(ahead_.data(), ahead_filled_, ahead_delivered_, buffer, capacity);
}

std::size_t ByteSource::read_fully(void* buffer, std::size_t capacity) {
  auto* const into = static_cast<char*>(buffer);
  std::size_t filled = 0;
  while (filled < capacity) {
    const std::size_t count = read(into + filled, capacity - filled);
    if (count == 0) break;
    filled += count;
  }
  return filled;
}

int ByteSource::get() {
  char byte = 0;
  return read(&byte, 1) == 1 ? static_cast<unsigned char>(byte) : -1;
}

std::size_t ByteSource::skip(std::size_t count) {
  std::array<char, large_read_bytes> scratch;
  std::size_t done = 0;
  while (done < count) {
    const std::size_t part = read(scratch.data(), std::min(scratch.size(), count - done));
    if (part == 0) break;
    done += part;
  }
  return done;
}

std::size_t ByteSource::read_at(std::uint64_t position, char* buffer, std::size_t capacity) {
  return seekable() ? read_file_at(position, buffer, capacity)
                    : read_pipe_at(position, buffer, capacity);
}

std::size_t ByteSource::read_file_at(std::uint64_t position, char* buffer, std::size_t capacity) {
  std::size_t filled = 0;
  while (filled < capacity) {
    const ssize_t count = ::pread(descriptor_.number, buffer + filled, capacity - filled,
                                  start_ + static_cast<std::int64_t>(position + filled));
    if (count < 0 && errno == EINTR) continue;
    if (count < 0) refuse(errno, false);
    if (count == 0) break;
    filled += static_cast<std::size_t>(count);
  }
  return filled;
}

std::size_t ByteSource::read_pipe_at(std::uint64_t position, char* buffer, std::size_t capacity) {
  std::size_t filled = 0;
  if (position < head_.size()) {
    filled = std::min(capacity, head_.size() - static_cast<std::size_t>(position));
    std::memcpy(buffer, head_.data() + position, filled);
    position += filled;
  }
  if (filled == capacity || position < drawn_) return filled;
  while (drawn_ < position) {
    std::array<char, 4096> dropped;
    const auto most = std::min<std::uint64_t>(dropped.size(), position - drawn_);
    if (read_descriptor(dropped.data(), most) == 0) return filled;
  }
  while (filled < capacity) {
    const std::size_t count = read_descriptor(buffer + filled, capacity - filled);
    if (count == 0) break;
    filled += count;
  }
  return filled;
}

}  // namespace lampbeat::files
