#include "capture/table/line_reader.hpp"

#include <cstring>
#include <utility>

#include <fmt/format.h>

#include "lampbeat/error.hpp"

namespace lampbeat::capture::table {
namespace {

constexpr std::size_t first_capacity = std::size_t{1} << 18;
constexpr std::size_t longest_line = std::size_t{1} << 20;

}  // namespace

LineReader::LineReader(files::ByteSource source, char line_end, std::size_t skip_bytes)
    : source_(std::move(source)), line_end_(line_end), buffer_(first_capacity) {
  filled_ = source_.read_fully(buffer_.data(), skip_bytes);
  start_ = filled_;
}

bool LineReader::refill() {
  if (start_ > 0) {
    std::memmove(buffer_.data(), buffer_.data() + start_, filled_ - start_);
    buffer_offset_ += start_;
    filled_ -= start_;
    start_ = 0;
  }
  if (filled_ == buffer_.size()) {
    if (filled_ > longest_line) {
      throw InputError(
          fmt::format("{}: line {} (from byte {} on) is longer than 1 MiB, so this is no table of "
                      "numbers;\nexport one row per line",
                      source_.name(), line_number_ + 1, buffer_offset_));
    }
    buffer_.resize(buffer_.size() * 2);
  }
  const std::size_t count = source_.read(buffer_.data() + filled_, buffer_.size() - filled_);
  filled_ += count;
  return count > 0;
}

bool LineReader::next(std::string_view& line) {
  std::size_t searched = 0;
  for (;;) {
    const char* const begin = buffer_.data() + start_;
    const std::size_t available = filled_ - start_;
    const void* const found = available > searched
                                  ? std::memchr(begin + searched, line_end_, available - searched)
                                  : nullptr;
    std::size_t length = available;
    if (found) {
      length = static_cast<std::size_t>(static_cast<const char*>(found) - begin);
    } else {
      searched = available;
      if (refill()) continue;
      if (available == 0) return false;
    }
    line_offset_ = buffer_offset_ + start_;
    ++line_number_;
    unterminated_ = !found;
    line = std::string_view(buffer_.data() + start_, length);
    while (!line.empty() && line.back() == '\r') line.remove_suffix(1);
    start_ += length + (found ? 1 : 0);
    return true;
  }
}

}  // namespace lampbeat::capture::table
