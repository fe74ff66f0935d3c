#include "footage/clips/byte_stream.hpp"

#include <fmt/format.h>
#include <sys/stat.h>

#include <algorithm>
#include <array>
#include <cerrno>
#include <cstring>

#include "lampbeat/error.hpp"

namespace lampbeat::footage {

namespace {

constexpr std::size_t beginning_bytes = 64;

std::FILE* open_or_throw(const std::string& path) {
  if (path == "-") return stdin;
  std::FILE* file = std::fopen(path.c_str(), "rb");
  if (!file) throw InputError(fmt::format("{}: cannot be opened: {}", path, std::strerror(errno)));
  struct stat about {};
  if (fstat(fileno(file), &about) == 0 && S_ISDIR(about.st_mode)) {
    std::fclose(file);
    throw InputError(fmt::format("{}: is a folder; name one clip in it", path));
  }
  return file;
}

}  // namespace

ByteStream::ByteStream(const std::string& path)
    : name_(path == "-" ? "standard input" : path), file_(open_or_throw(path)) {
  std::array<char, beginning_bytes> first{};
  const std::size_t count = std::fread(first.data(), 1, first.size(), file_.get());
  beginning_.assign(first.data(), count);
  if (beginning_.empty()) {
    throw InputError(fmt::format("{}: is empty; nothing was recorded or piped in", name_));
  }
}

std::size_t ByteStream::read(void* into, std::size_t count) {
  auto* out = static_cast<char*>(into);
  const std::size_t kept = std::min(count, beginning_.size() - taken_);
  std::memcpy(out, beginning_.data() + taken_, kept);
  taken_ += kept;
  if (kept == count) return count;
  const std::size_t fresh = std::fread(out + kept, 1, count - kept, file_.get());
  if (std::ferror(file_.get())) {
    throw InputError(fmt::format("{}: reading failed: {}", name_, std::strerror(errno)));
  }
  return kept + fresh;
}

int ByteStream::get() {
  if (taken_ < beginning_.size()) return static_cast<unsigned char>(beginning_[taken_++]);
  return std::fgetc(file_.get());
}

std::size_t ByteStream::skip(std::size_t count) {
  std::array<char, 65536> scratch;
  std::size_t done = 0;
  while (done < count) {
    const std::size_t part = read(scratch.data(), std::min(scratch.size(), count - done));
    if (part == 0) break;
    done += part;
  }
  return done;
}

}  // namespace lampbeat::footage
