#pragma once

#include <cstdint>
#include <string_view>
#include <vector>

#include "files/byte_source.hpp"

namespace lampbeat::capture::table {

/// A text file line by line, through one buffer of bounded size.
class LineReader {
 public:
  /// `line_end` is '\n', or '\r' for texts that know only that; `skip_bytes` come before the text.
  LineReader(files::ByteSource source, char line_end, std::size_t skip_bytes);

  /// The next line without its end, valid until the following call; false after the last.
  /// Throws InputError for a line longer than 1 MiB, which no table of numbers has.
  bool next(std::string_view& line);

  const files::ByteSource& source() const { return source_; }
  std::uint64_t line_number() const { return line_number_; }  ///< of the line last given, from 1
  std::uint64_t line_offset() const { return line_offset_; }  ///< bytes before that line
  bool unterminated() const { return unterminated_; }  ///< that line was the last, without its end

 private:
  bool refill();

  files::ByteSource source_;
  char line_end_;
  std::vector<char> buffer_;
  std::size_t start_ = 0;
  std::size_t filled_ = 0;
  std::uint64_t buffer_offset_ = 0;  ///< bytes of the file before the buffer
  std::uint64_t line_number_ = 0;
  std::uint64_t line_offset_ = 0;
  bool unterminated_ = false;
};

}  // namespace lampbeat::capture::table
