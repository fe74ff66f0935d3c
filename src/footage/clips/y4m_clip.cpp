// YUV4MPEG2: a text line of parameters, then per frame the word FRAME, a newline and the planes.
// The format has no standards body; it is described in the manual page yuv4mpeg(5).

#include <fmt/format.h>

#include <algorithm>
#include <string_view>

#include "footage/clips/formats.hpp"
#include "footage/clips/y4m_header.hpp"
#include "lampbeat/error.hpp"
#include "words/foreign_text.hpp"

namespace lampbeat::footage::clips {

namespace {

// Bytes, far beyond what any program writes: a damaged file must not be searched to its end.
constexpr std::size_t longest_header = 4096;
constexpr std::size_t longest_frame_line = 1024;

class Y4mClip final : public ClipSource {
 public:
  explicit Y4mClip(files::ByteSource bytes) : bytes_(std::move(bytes)) {
    const Y4mHeader header = read_y4m_header(header_line(), bytes_.name());
    format_ = header.format;
    const std::size_t bytes_each = format_.bits > 8 ? 2 : 1;
    const std::size_t samples =
        static_cast<std::size_t>(format_.width) * static_cast<std::size_t>(format_.height);
    bytes_beside_luma_ = header.samples_beside_luma * bytes_each;
    if (samples * bytes_each + bytes_beside_luma_ > largest_frame_bytes) {
      throw InputError(fmt::format(
          "{}: a frame of {} x {} needs {} MB, more than the {} MB allowed", format_.name,
          format_.width, format_.height, (samples * bytes_each + bytes_beside_luma_) >> 20,
          largest_frame_bytes >> 20));
    }
    row_.resize(static_cast<std::size_t>(format_.width) * bytes_each);
  }

  const ClipFormat& format() const override { return format_; }

  const std::vector<std::uint16_t>* next() override {
    if (!frame_line()) {
      luma_ = std::vector<std::uint16_t>();  // gives its memory back
      return nullptr;
    }
    luma_.clear();  // grows row by row: a header alone must not cost a frame of memory
    for (int y = 0; y < format_.height; ++y) {
      if (bytes_.read_fully(row_.data(), row_.size()) != row_.size()) truncated();
      take_row();
    }
    if (bytes_.skip(bytes_beside_luma_) != bytes_beside_luma_) truncated();
    ++frames_;
    return &luma_;
  }

 private:
  std::string header_line() {
    std::string line;
    for (int c = bytes_.get(); c != '\n'; c = bytes_.get()) {
      if (c < 0) throw InputError(fmt::format("{}: ends inside its header line", bytes_.name()));
      line += static_cast<char>(c);
      if (line.size() > longest_header) {
        throw InputError(fmt::format("{}: its header line does not end within {} bytes",
                                     bytes_.name(), longest_header));
      }
    }
    return line;
  }

  /// Reads "FRAME ...\n"; false at the end of the clip.
  bool frame_line() {
    std::string line;
    int c = bytes_.get();
    if (c < 0) return false;
    for (; c != '\n'; c = bytes_.get()) {
      if (c < 0) truncated();
      line += static_cast<char>(c);
      if (line.size() > longest_frame_line) break;
    }
    std::string_view rest = line;
    const std::string_view word = next_word(rest);
    if (word == "YUV4MPEG2") {
      throw InputError(
          fmt::format("{}: a second header follows frame {}: the clip changes its "
                      "format midway; cut it there and measure each part",
                      format_.name, frames_));
    }
    if (word != "FRAME") {
      throw InputError(
          fmt::format("{}: frame {} does not begin with FRAME but with '{}'; the file "
                      "is damaged or was cut",
                      format_.name, frames_ + 1, words::excerpt(line)));
    }
    for (std::string_view p = next_word(rest); !p.empty(); p = next_word(rest)) {
      if (p.front() == 'X' || p.front() == 'I') continue;
      throw InputError(
          fmt::format("{}: frame {} changes the parameter '{}' midway; write the clip "
                      "again with one setting throughout",
                      format_.name, frames_ + 1, words::excerpt(p)));
    }
    return true;
  }

  void take_row() {
    const std::size_t from = luma_.size();
    const auto width = static_cast<std::size_t>(format_.width);
    if (luma_.capacity() < from + width) {
      luma_.reserve(std::min(2 * from + width, width * static_cast<std::size_t>(format_.height)));
    }
    luma_.resize(from + width);
    std::uint16_t* out = luma_.data() + from;
    if (format_.bits == 8) {
      for (std::size_t x = 0; x < width; ++x) out[x] = row_[x];
      return;
    }
    const auto highest = static_cast<std::uint16_t>((1U << format_.bits) - 1U);
    for (std::size_t x = 0; x < width; ++x) {
      const auto code = static_cast<std::uint16_t>(row_[2 * x] | (row_[2 * x + 1] << 8));
      if (code > highest) {
        throw InputError(fmt::format("{}: frame {} holds the value {} although it says {} bits",
                                     format_.name, frames_ + 1, code, format_.bits));
      }
      out[x] = code;
    }
  }

  [[noreturn]] void truncated() const {
    throw InputError(
        fmt::format("{}: ends inside frame {}; the recording or the pipe was cut short",
                    format_.name, frames_ + 1));
  }

  files::ByteSource bytes_;
  ClipFormat format_;
  std::size_t bytes_beside_luma_ = 0;
  std::uint64_t frames_ = 0;
  std::vector<unsigned char> row_;
  std::vector<std::uint16_t> luma_;
};

}  // namespace

std::unique_ptr<ClipSource> open_y4m(files::ByteSource bytes) {
  return std::make_unique<Y4mClip>(std::move(bytes));
}

}  // namespace lampbeat::footage::clips
