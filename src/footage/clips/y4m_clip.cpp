// YUV4MPEG2: a text line of parameters, then per frame the word FRAME, a newline and the planes.
// The format has no standards body; it is described in the manual page yuv4mpeg(5).

#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <optional>
#include <string_view>

#include "footage/clips/formats.hpp"
#include "lampbeat/error.hpp"
#include "words/foreign_text.hpp"

namespace lampbeat::footage::clips {

namespace {

constexpr std::size_t longest_header = 4096;
constexpr std::size_t longest_frame_line = 1024;

/// Splits off the next blank-separated word.
std::string_view next_word(std::string_view& line) {
  const std::size_t from = line.find_first_not_of(' ');
  if (from == std::string_view::npos) {
    line = {};
    return {};
  }
  const std::size_t to = std::min(line.find(' ', from), line.size());
  const std::string_view word = line.substr(from, to - from);
  line.remove_prefix(to);
  return word;
}

std::optional<std::int64_t> whole_number(std::string_view text) {
  std::int64_t value = 0;
  const auto [end, error] = std::from_chars(text.data(), text.data() + text.size(), value);
  if (error != std::errc{} || end != text.data() + text.size()) return std::nullopt;
  return value;
}

/// The header being read, with the file's name for its complaints.
class Header {
 public:
  explicit Header(std::string name) { format_.name = std::move(name); }

  ClipFormat read(std::string_view line) {
    next_word(line);  // YUV4MPEG2
    for (std::string_view word = next_word(line); !word.empty(); word = next_word(line)) {
      parameter(word.front(), word.substr(1));
    }
    if (format_.width == 0 || format_.height == 0) {
      refuse("its header gives no picture size (W and H)");
    }
    return format_;
  }

  std::size_t chroma_samples() const {
    const auto w = static_cast<std::size_t>(format_.width);
    const auto h = static_cast<std::size_t>(format_.height);
    if (format_.chroma == "mono") return 0;
    if (format_.chroma == "411") return 2 * ((w + 3) / 4) * h;
    if (format_.chroma == "420") return 2 * ((w + 1) / 2) * ((h + 1) / 2);
    if (format_.chroma == "422") return 2 * ((w + 1) / 2) * h;
    return (alpha_ ? 3 : 2) * w * h;  // 444
  }

 private:
  [[noreturn]] void refuse(const std::string& why) const {
    throw InputError(fmt::format("{}: {}", format_.name, why));
  }

  int side(char tag, std::string_view text) const {
    const auto value = whole_number(text);
    if (!value || *value < 1 || *value > largest_side) {
      refuse(fmt::format("picture size {}{} is not within 1 ... {}", tag, words::excerpt(text),
                         largest_side));
    }
    return static_cast<int>(*value);
  }

  FrameRate rate(std::string_view text) const {
    const std::size_t colon = std::min(text.find(':'), text.size());
    const auto over = whole_number(text.substr(0, colon));
    const auto under =
        colon < text.size() ? whole_number(text.substr(colon + 1)) : std::optional<std::int64_t>(1);
    if (over == 0) return {0, 1};  // "unknown" in this format
    if (!over || !under || *over < 0 || *under <= 0) {
      refuse(fmt::format("frame rate F{} is not a fraction like F25:1", words::excerpt(text)));
    }
    const FrameRate read{*over, *under};
    if (!(read.per_s() >= 0.01 && read.per_s() <= 100000.0)) {
      refuse(fmt::format("frame rate F{} is not one a camera records", words::excerpt(text)));
    }
    return read;
  }

  void interlace(std::string_view text) const {
    if (text == "t" || text == "b" || text == "m") {
      refuse(
          "is interlaced: its odd and even rows were exposed at different times. Film "
          "progressive, or deinterlace first, one frame per field: ffmpeg -i CLIP -vf "
          "bwdif=mode=send_field -f yuv4mpegpipe -");
    }
    if (text != "p" && text != "?") {
      refuse(fmt::format("has an unknown interlacing mode I{}", words::excerpt(text)));
    }
  }

  void chroma(std::string_view text) {
    const std::string_view whole = text;
    for (const std::string_view base : {"mono", "411", "420", "422", "444"}) {
      if (!text.starts_with(base)) continue;
      format_.chroma = base;
      text.remove_prefix(base.size());
      alpha_ = base == "444" && text == "alpha";
      const bool siting = base == "420" && (text == "jpeg" || text == "paldv" || text == "mpeg2");
      if (text.empty() || alpha_ || siting) return;
      if (base != "mono" && text.front() == 'p') text.remove_prefix(1);
      const auto bits = whole_number(text);
      if (bits && *bits >= 8 && *bits <= 16) {
        format_.bits = static_cast<int>(*bits);
        return;
      }
      break;
    }
    refuse(
        fmt::format("pixel format C{} is not one of mono, 411, 420, 422, 444 with 8 to 16 bits; "
                    "convert with ffmpeg -i CLIP -pix_fmt yuv420p -f yuv4mpegpipe -",
                    words::excerpt(whole)));
  }

  void parameter(char tag, std::string_view text) {
    switch (tag) {
      case 'W':
        format_.width = side(tag, text);
        break;
      case 'H':
        format_.height = side(tag, text);
        break;
      case 'F':
        format_.fps = rate(text);
        break;
      case 'I':
        interlace(text);
        break;
      case 'C':
        chroma(text);
        break;
      case 'X':
        if (text == "COLORRANGE=FULL") format_.full_range = true;
        break;
      case 'A':
        break;  // the shape of a pixel does not matter here
      default:
        refuse(fmt::format("its header has an unknown parameter '{}{}'", words::excerpt({&tag, 1}),
                           words::excerpt(text)));
    }
  }

  static ClipFormat unknown_rate() {
    ClipFormat format;
    format.fps = {0, 1};
    format.chroma = "420";
    return format;
  }

  ClipFormat format_ = unknown_rate();
  bool alpha_ = false;
};

class Y4mClip final : public ClipSource {
 public:
  explicit Y4mClip(files::ByteSource bytes) : bytes_(std::move(bytes)) {
    const std::string line = header_line();
    Header header(bytes_.name());
    format_ = header.read(line);
    const std::size_t bytes_each = format_.bits > 8 ? 2 : 1;
    const std::size_t samples =
        static_cast<std::size_t>(format_.width) * static_cast<std::size_t>(format_.height);
    chroma_bytes_ = header.chroma_samples() * bytes_each;
    if (samples * bytes_each + chroma_bytes_ > largest_frame_bytes) {
      throw InputError(
          fmt::format("{}: a frame of {} x {} needs {} MB, more than the {} MB allowed",
                      format_.name, format_.width, format_.height,
                      (samples * bytes_each + chroma_bytes_) >> 20, largest_frame_bytes >> 20));
    }
    row_.resize(static_cast<std::size_t>(format_.width) * bytes_each);
  }

  const ClipFormat& format() const override { return format_; }

  const std::vector<std::uint16_t>* next() override {
    if (!frame_line()) return nullptr;
    luma_.clear();  // grows row by row: a header alone must not cost a frame of memory
    for (int y = 0; y < format_.height; ++y) {
      if (bytes_.read_fully(row_.data(), row_.size()) != row_.size()) truncated();
      take_row();
    }
    if (bytes_.skip(chroma_bytes_) != chroma_bytes_) truncated();
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
  std::size_t chroma_bytes_ = 0;
  std::uint64_t frames_ = 0;
  std::vector<unsigned char> row_;
  std::vector<std::uint16_t> luma_;
};

}  // namespace

std::unique_ptr<ClipSource> open_y4m(files::ByteSource bytes) {
  return std::make_unique<Y4mClip>(std::move(bytes));
}

}  // namespace lampbeat::footage::clips
